/* Saves the picture that is shown as PNG, twice its size, on white. */
(function () {
  'use strict';
  document.addEventListener('click', function (event) {
    var button = event.target.closest('[data-png]');
    if (!button) return;
    var shown = Array.from(document.querySelectorAll('figure.chart svg.plot[aria-labelledby]')).find(function (svg) { return svg.getClientRects().length; });
    if (!shown) return;
    var box = shown.viewBox.baseVal;
    var copy = shown.cloneNode(true);
    copy.setAttribute('width', box.width * 2);
    copy.setAttribute('height', box.height * 2);
    var address = 'data:image/svg+xml;charset=utf-8,' + encodeURIComponent(new XMLSerializer().serializeToString(copy));
    var image = new Image();
    image.onload = function () {
      var canvas = document.createElement('canvas');
      canvas.width = box.width * 2;
      canvas.height = box.height * 2;
      var pen = canvas.getContext('2d');
      pen.fillStyle = '#fff';
      pen.fillRect(0, 0, canvas.width, canvas.height);
      pen.drawImage(image, 0, 0);
      canvas.toBlob(function (png) {
        var link = document.createElement('a');
        link.href = URL.createObjectURL(png);
        link.download = 'chart.png';
        link.click();
        setTimeout(function () { URL.revokeObjectURL(link.href); }, 1000);
      });
    };
    image.src = address;
  });
})();
