// While a package is being made: how far it is, and a way to cancel. Without it one waits, and gets the same.
(function () {
  'use strict';
  var form = document.querySelector('[data-making]');
  form.addEventListener('submit', function () {
    form.querySelector('button').disabled = true;
    document.getElementById('cancel').hidden = false;
    setInterval(function () {
      fetch(form.dataset.making).then(function (answer) { return answer.text(); }).then(function (words) {
        if (words) document.getElementById('making').textContent = words;
      }, function () { /* asked again in a second */ });
    }, 1000);
  });
})();
