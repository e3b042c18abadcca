package airway.registry.research;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.apache.parquet.format.ColumnChunk;
import org.apache.parquet.format.ColumnMetaData;
import org.apache.parquet.format.CompressionCodec;
import org.apache.parquet.format.ConvertedType;
import org.apache.parquet.format.DataPageHeader;
import org.apache.parquet.format.DictionaryPageHeader;
import org.apache.parquet.format.Encoding;
import org.apache.parquet.format.FieldRepetitionType;
import org.apache.parquet.format.FileMetaData;
import org.apache.parquet.format.LogicalType;
import org.apache.parquet.format.PageHeader;
import org.apache.parquet.format.PageType;
import org.apache.parquet.format.RowGroup;
import org.apache.parquet.format.SchemaElement;
import org.apache.parquet.format.StringType;
import org.apache.parquet.format.Type;
import org.apache.parquet.format.Util;

/**
 * Writes rows of texts as Apache Parquet: every column optional UTF-8 text, where nothing was recorded null. One part of the
 * file is held in memory at a time. The same rows give the same bytes. Source: the Apache Parquet format, version 2; the
 * headers are written by its own library.
 *
 * <p>Each column has a dictionary, and its pages name runs of one value: rows stand in the order of their values. Nothing is
 * compressed, since the package is.
 */
final class ParquetRows {
    /** Rows of one part. */
    private static final int PART = 100_000;

    private static final byte[] MAGIC = "PAR1".getBytes(StandardCharsets.US_ASCII);
    private static final int FORMAT = 1;

    private final OutputStream out;
    private long written;

    private ParquetRows(OutputStream out) {
        this.out = out;
    }

    /**
     * Writes it; the stream stays open.
     *
     * @param names of the columns
     * @param rows each with a text for every column, empty where nothing was recorded
     */
    static void write(OutputStream out, List<String> names, List<List<String>> rows) throws IOException {
        new ParquetRows(out).write(names, rows);
    }

    private void write(List<String> names, List<List<String>> rows) throws IOException {
        put(MAGIC);
        List<RowGroup> parts = new ArrayList<>();
        for (int from = 0; from < rows.size(); from += PART) {
            parts.add(part(names, rows.subList(from, Math.min(from + PART, rows.size()))));
        }
        ByteArrayOutputStream footer = new ByteArrayOutputStream();
        Util.writeFileMetaData(
                new FileMetaData(FORMAT, schema(names), rows.size(), parts).setCreated_by("airway registry"), footer);
        put(footer.toByteArray());
        put(little(footer.size()));
        put(MAGIC);
    }

    private static List<SchemaElement> schema(List<String> names) {
        List<SchemaElement> schema = new ArrayList<>();
        schema.add(new SchemaElement("rows").setNum_children(names.size()));
        for (String name : names) {
            schema.add(new SchemaElement(name)
                    .setType(Type.BYTE_ARRAY)
                    .setRepetition_type(FieldRepetitionType.OPTIONAL)
                    .setConverted_type(ConvertedType.UTF8)
                    .setLogicalType(LogicalType.STRING(new StringType())));
        }
        return schema;
    }

    private RowGroup part(List<String> names, List<List<String>> rows) throws IOException {
        long begin = written;
        List<ColumnChunk> columns = new ArrayList<>();
        for (int column = 0; column < names.size(); column++) {
            columns.add(column(names.get(column), column, rows));
        }
        return new RowGroup(columns, written - begin, rows.size())
                .setFile_offset(begin)
                .setTotal_compressed_size(written - begin);
    }

    private ColumnChunk column(String name, int column, List<List<String>> rows) throws IOException {
        Map<String, Integer> numbers = new LinkedHashMap<>();
        Runs there = new Runs(1);
        List<Integer> values = new ArrayList<>();
        for (List<String> row : rows) {
            String text = row.get(column);
            there.add(text.isEmpty() ? 0 : 1);
            if (!text.isEmpty()) {
                values.add(numbers.computeIfAbsent(text, none -> numbers.size()));
            }
        }
        long begin = written;
        ByteArrayOutputStream dictionary = new ByteArrayOutputStream();
        for (String text : numbers.keySet()) {
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            dictionary.writeBytes(little(bytes.length));
            dictionary.writeBytes(bytes);
        }
        page(
                new PageHeader(PageType.DICTIONARY_PAGE, dictionary.size(), dictionary.size())
                        .setDictionary_page_header(new DictionaryPageHeader(numbers.size(), Encoding.PLAIN)),
                dictionary);
        long data = written;
        int bits = Math.max(1, Integer.SIZE - Integer.numberOfLeadingZeros(Math.max(0, numbers.size() - 1)));
        Runs told = new Runs(bits);
        values.forEach(told::add);
        ByteArrayOutputStream page = new ByteArrayOutputStream();
        byte[] levels = there.bytes();
        page.writeBytes(little(levels.length));
        page.writeBytes(levels);
        page.write(bits);
        page.writeBytes(told.bytes());
        page(
                new PageHeader(PageType.DATA_PAGE, page.size(), page.size())
                        .setData_page_header(
                                new DataPageHeader(rows.size(), Encoding.RLE_DICTIONARY, Encoding.RLE, Encoding.RLE)),
                page);
        ColumnMetaData about = new ColumnMetaData(
                        Type.BYTE_ARRAY,
                        List.of(Encoding.PLAIN, Encoding.RLE, Encoding.RLE_DICTIONARY),
                        List.of(name),
                        CompressionCodec.UNCOMPRESSED,
                        rows.size(),
                        written - begin,
                        written - begin,
                        data)
                .setDictionary_page_offset(begin);
        return new ColumnChunk(begin).setMeta_data(about);
    }

    private void page(PageHeader header, ByteArrayOutputStream bytes) throws IOException {
        ByteArrayOutputStream head = new ByteArrayOutputStream();
        Util.writePageHeader(header, head);
        put(head.toByteArray());
        put(bytes.toByteArray());
    }

    private void put(byte[] bytes) throws IOException {
        out.write(bytes);
        written += bytes.length;
    }

    private static byte[] little(int number) {
        return ByteBuffer.allocate(Integer.BYTES)
                .order(ByteOrder.LITTLE_ENDIAN)
                .putInt(number)
                .array();
    }

    /** Numbers as runs: how often, twice, in bytes of seven bits from the lowest; then the number in as few bytes as hold it. */
    private static final class Runs {
        private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        private final int width;
        private int number;
        private int times;

        Runs(int bits) {
            this.width = (bits + Byte.SIZE - 1) / Byte.SIZE;
        }

        void add(int next) {
            if (times > 0 && next != number) {
                end();
            }
            number = next;
            times++;
        }

        byte[] bytes() {
            if (times > 0) {
                end();
            }
            return bytes.toByteArray();
        }

        private void end() {
            int rest = times << 1;
            while (rest > 0x7F) {
                bytes.write((rest & 0x7F) | 0x80);
                rest >>>= 7;
            }
            bytes.write(rest);
            for (int i = 0; i < width; i++) {
                bytes.write(number >>> (i * Byte.SIZE));
            }
            times = 0;
        }
    }
}
