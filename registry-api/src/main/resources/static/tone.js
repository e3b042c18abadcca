// Runs before the first paint, so that a dark room stays dark. Only the tone is kept on this device.
(function () {
  var root = document.documentElement;
  root.classList.add('js');
  try {
    var tone = localStorage.getItem('tone');
    if (tone === 'dim' || tone === 'bright') root.dataset.tone = tone;
  } catch (e) { /* no storage: the device's own setting decides */ }
})();
