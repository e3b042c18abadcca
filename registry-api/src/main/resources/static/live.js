// The figures follow the choices. Without it one presses Show, and gets the same.
(function () {
  'use strict';
  var SLOW_MS = 2000;
  var form = document.querySelector('[data-live]');
  var words = document.getElementById('looking');
  var running = null;
  var waiting = 0;
  var slow = false;

  function seen() { return document.getElementById('seen'); }

  function look() {
    if (running) running.abort();
    var mine = running = new AbortController();
    var there = form.action + '?' + new URLSearchParams(new FormData(form));
    var begun = Date.now();
    fetch(there, { signal: mine.signal }).then(function (answer) { return answer.text(); }).then(function (html) {
      var next = new DOMParser().parseFromString(html, 'text/html').getElementById('seen');
      if (!next) { form.submit(); return; }
      next.querySelectorAll('input.text').forEach(function (box) {
        var typed = seen().querySelector('[name="' + box.name + '"]');
        if (typed) box.value = typed.value;
      });
      seen().replaceWith(next);
      history.replaceState(null, '', there);
      slow = Date.now() - begun > SLOW_MS;
      words.textContent = '';
    }).catch(function () {
      if (!mine.signal.aborted) words.textContent = form.dataset.live;
    });
  }

  form.addEventListener('change', function () {
    // What is there is about another choice, and must not be asked for.
    seen().inert = true;
    clearTimeout(waiting);
    words.textContent = slow ? form.dataset.live : 'Looking again.';
    if (!slow) waiting = setTimeout(look, 300);
  });
})();
