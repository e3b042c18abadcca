// A box for text drops the separator, which comes as Ctrl and ]: its picture is put in, and read back as it.
(function () {
  'use strict';
  document.addEventListener('keydown', function (event) {
    var box = event.target;
    var separator = event.key === '\u001d' || (event.ctrlKey && !event.altKey && event.key === ']');
    if (!separator || !box.hasAttribute || !box.hasAttribute('data-scan')) return;
    event.preventDefault();
    box.setRangeText('\u241d', box.selectionStart, box.selectionEnd, 'end');
  });
})();
