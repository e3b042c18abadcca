/** What all pages and all of the API share: reading bodies, answering problems, headers, the frame of a page. */
@NullMarked
package airway.registry.web;

import org.jspecify.annotations.NullMarked;
