package airway.registry.web;

/** A part of the API that describes itself; the document of the whole is put together from the parts. */
public interface ApiPart {
    void describe(ApiDocument document);
}
