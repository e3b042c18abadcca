// A box for text drops the separator, which comes as Ctrl and ]: its picture is put in, and read back as it.
(function () {
  'use strict';
  var SEPARATOR = '\u001d';
  var SHOWN = '\u241d';
  document.addEventListener('keydown', function (event) {
    var box = event.target;
    var separator = event.key === SEPARATOR || (event.ctrlKey && !event.altKey && event.key === ']');
    if (!separator || !box.hasAttribute || !box.hasAttribute('data-scan')) return;
    event.preventDefault();
    box.setRangeText(SHOWN, box.selectionStart, box.selectionEnd, 'end');
  });

  // Where the browser can read codes by itself (the open standard BarcodeDetector) a box has a camera too. No picture is
  // kept or leaves the device. Typing goes on as ever.
  if (!('BarcodeDetector' in window) || !navigator.mediaDevices || !navigator.mediaDevices.getUserMedia) return;
  var WANTED = ['data_matrix', 'qr_code', 'code_128', 'ean_13', 'ean_8', 'upc_a', 'code_39'];
  var EVERY_MS = 250;

  function put(box, text) {
    var read = text.split(SEPARATOR).join(SHOWN);
    // A box of several lines takes one label a line.
    box.value = box.tagName === 'TEXTAREA' && box.value.trim() ? box.value.replace(/\s+$/, '') + '\n' + read : read;
    box.dispatchEvent(new Event('input', { bubbles: true }));
    box.dispatchEvent(new Event('change', { bubbles: true }));
    box.focus();
  }

  function offer(box, detector) {
    var button = document.createElement('button');
    button.type = 'button';
    button.className = 'btn quiet camera';
    button.textContent = 'Use the camera';
    button.setAttribute('aria-controls', box.id);
    var view = document.createElement('video');
    view.className = 'camera';
    view.muted = true;
    view.hidden = true;
    view.setAttribute('playsinline', '');
    view.setAttribute('aria-label', 'What the camera sees');
    var said = document.createElement('p');
    said.className = 'hint';
    said.setAttribute('role', 'status');
    box.after(button, view, said);
    var stream = null;
    var looking = 0;

    function stop(words) {
      window.clearInterval(looking);
      if (stream) stream.getTracks().forEach(function (track) { track.stop(); });
      stream = null;
      view.srcObject = null;
      view.hidden = true;
      button.textContent = 'Use the camera';
      said.textContent = words;
    }

    function look() {
      if (!stream || view.readyState < 2) return;
      detector.detect(view).then(function (codes) {
        if (!stream || codes.length === 0) return;
        stop('Read. Look whether it is the right label.');
        put(box, codes[0].rawValue);
      }, function () { stop('The camera cannot read here. Type what stands on the label.'); });
    }

    button.addEventListener('click', function () {
      if (stream) {
        stop('');
        return;
      }
      navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } }).then(function (opened) {
        stream = opened;
        view.srcObject = stream;
        view.hidden = false;
        button.textContent = 'Stop the camera';
        said.textContent = 'Hold the code before the camera.';
        view.play();
        looking = window.setInterval(look, EVERY_MS);
      }, function () { said.textContent = 'The camera is not allowed or not there. Type what stands on the label.'; });
    });
    window.addEventListener('pagehide', function () { stop(''); });
  }

  window.BarcodeDetector.getSupportedFormats().then(function (formats) {
    var usable = WANTED.filter(function (format) { return formats.indexOf(format) >= 0; });
    if (usable.length === 0) return;
    var detector = new window.BarcodeDetector({ formats: usable });
    document.querySelectorAll('[data-camera]').forEach(function (box) { offer(box, detector); });
  });
})();
