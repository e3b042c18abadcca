// On every page: the dim switch, copying, printing. The pages can be read and used without it.
(function () {
  var root = document.documentElement;
  var switches = document.querySelectorAll('[data-dim]');

  function dim() {
    return root.dataset.tone
      ? root.dataset.tone === 'dim'
      : matchMedia('(prefers-color-scheme: dark)').matches;
  }

  function say() {
    switches.forEach(function (button) {
      button.setAttribute('aria-pressed', String(dim()));
    });
  }

  switches.forEach(function (button) {
    button.addEventListener('click', function () {
      root.dataset.tone = dim() ? 'bright' : 'dim';
      try { localStorage.setItem('tone', root.dataset.tone); } catch (e) { /* kept for this page only */ }
      say();
    });
  });
  say();

  document.querySelectorAll('[data-copy]').forEach(function (button) {
    button.addEventListener('click', function () {
      var text = document.getElementById(button.dataset.copy);
      var said = document.getElementById(button.dataset.copy + '-said');
      function byHand() {
        getSelection().selectAllChildren(text);
        said.textContent = 'Marked. Copy it with your keyboard or menu.';
      }
      if (!navigator.clipboard) return byHand();
      navigator.clipboard.writeText(text.textContent).then(function () { said.textContent = 'Copied.'; }, byHand);
    });
  });

  // Sent while the registry cannot be reached, a form would end on an error page of the browser, and what was typed with it.
  document.querySelectorAll('form[data-keep]').forEach(function (form) {
    var said = document.createElement('p');
    said.className = 'field-err';
    said.setAttribute('role', 'status');
    form.append(said);
    form.addEventListener('submit', function (event) {
      if (form.dataset.reached) return;
      event.preventDefault();
      var by = event.submitter;
      said.textContent = '';
      fetch(document.querySelector('script[src*="register.js"]').src, { method: 'HEAD', cache: 'no-store' }).then(
        function () {
          form.dataset.reached = 'yes';
          form.requestSubmit(by);
        },
        function () {
          said.textContent = 'The registry cannot be reached, and nothing was kept yet. What you typed stays here: leave the page open and send it again.';
        });
    });
  });

  document.querySelectorAll('[data-print]').forEach(function (button) {
    button.addEventListener('click', function () { print(); });
  });
})();
