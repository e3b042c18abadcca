// The record page can be filled in and saved without this file. With it, questions open when they are asked, the counts
// keep up, and what is typed is kept on the server as a draft within two seconds, never in the browser's storage.
(function () {
  var sending = false;
  var counted = null;

  function record() { return document.getElementById('record'); }
  function form() { return record().querySelector('form'); }
  function all(selector, root) { return Array.from((root || record()).querySelectorAll(selector)); }
  function seen(element) { return !element.closest('[hidden]'); }
  function named(name) { return all('[name="' + name + '"]'); }
  function say(words, lost) {
    all('[data-said]').forEach(function (line) { line.textContent = words; line.classList.toggle('lost', !!lost); });
  }

  // "a1.end:fail,lost;a1.who:none": any of these is ticked where it can be seen. "*" is any answer, "!x" is not x.
  function holds(condition) {
    return condition.split(';').some(function (part) {
      var at = part.indexOf(':');
      var values = part.slice(at + 1).split(',');
      return named(part.slice(0, at)).some(function (input) {
        if (input.type === 'text') return values[0] === '*' && input.value.trim() !== '' && seen(input);
        if (!input.checked || !seen(input)) return false;
        return values.indexOf(input.value) >= 0 || (values[0] === '*' && values.indexOf('!' + input.value) < 0);
      });
    });
  }

  function answered(question) {
    return all('input', question).some(function (input) {
      if (input.name.indexOf('confirm.') === 0) return false;
      var about = input.dataset.with || input.id;
      if (about && all('[data-instead="' + about + '"]:checked').length) return true;
      if (input.type === 'radio' || input.type === 'checkbox') {
        if (!input.checked) return false;
        var box = input.value === 'typed' && document.getElementById(input.name + '_typed');
        return !box || box.value.trim() !== '';
      }
      return seen(input) && !input.name.endsWith('_typed') && input.value.trim() !== '';
    });
  }

  function words(name) {
    return named(name).map(function (input) {
      if (input.type === 'radio' || input.type === 'checkbox') {
        if (!input.checked || !seen(input) || input.value === 'typed' && named(name + '_typed').length) return '';
        var text = input.closest('label').querySelector('span') || input.closest('label');
        var plain = text.firstChild.textContent.trim();
        return name.endsWith('.passes') && input.value !== 'unk' ? 'tube ' + plain + '×' : plain;
      }
      return seen(input) ? input.value.trim() : '';
    }).filter(Boolean).join(', ');
  }

  function echo(line) {
    var parts = line.dataset.echo.split(' ').map(function (name) {
      var said = words(name) || words(name + '_typed');
      if (said && (name === 'weight' || name.endsWith('.best') || name.endsWith('.lowest')) && /^\d/.test(said)) {
        said += name === 'weight' ? ' kg' : '%';
      }
      if (said && name.endsWith('.lowest')) said = 'lowest ' + said;
      return said;
    }).filter(Boolean);
    line.textContent = parts.join(', ').replace(/^(\d+), (days|weeks|months|years)/, '$1 $2') || 'open';
    line.classList.toggle('todo', !parts.length);
  }

  // Completed days of the age that was typed; null when there is none.
  function ageInDays() {
    var number = parseInt(words('age'), 10);
    var days = { days: 1, weeks: 7, months: 30.4375, years: 365.25 }[words('age_unit')];
    return isNaN(number) || !days ? null : Math.floor(number * days);
  }

  function count(questions, state) {
    var ready = questions.filter(answered).length;
    state.textContent = ready + ' of ' + questions.length;
    state.classList.toggle('full', ready === questions.length);
    return ready;
  }

  function refresh(told) {
    var age = ageInDays();
    all('[data-up-to-days]').forEach(function (block) { block.hidden = age !== null && age > Number(block.dataset.upToDays); });
    // "None of these five" stands for all five: they need not be looked at.
    var none = named('features_none').some(function (box) { return box.checked; });
    named('limited_mouth_opening').concat(named('reduced_neck_extension'), named('micrognathia'), named('midface_hypoplasia'),
      named('upper_airway_obstruction')).forEach(function (input) { input.closest('.gate').hidden = none; });
    all('[data-when]').forEach(function (block) { block.hidden = !holds(block.dataset.when); });
    all('[data-unless]').forEach(function (block) { block.hidden = holds(block.dataset.unless); });
    // A block may stand inside one that has just opened or closed.
    all('[data-when]').forEach(function (block) { block.hidden = !holds(block.dataset.when); });
    all('.whens').forEach(function (block) {
      block.open = true;
      block.hidden = !all('[data-when]', block).some(function (inner) { return !inner.hidden; });
    });
    var done = 0, asked = 0;
    all('section[data-count]').forEach(function (section) {
      var questions = all('[data-q]', section).filter(seen).filter(function (q) { return !q.closest('[data-more]'); });
      done += count(questions, section.querySelector('.mark .state'));
      asked += questions.length;
    });
    all('[data-more]').forEach(function (more) {
      count(all('[data-q]', more).filter(seen), more.querySelector('summary .state'));
    });
    all('[data-total]').forEach(function (line) { line.textContent = done + ' of ' + asked + ' answered'; });
    if (told) say(counted !== null && asked > counted ? (asked - counted) + (asked - counted === 1 ? ' question opened below.' : ' questions opened below.') : '');
    counted = asked;
    var number = words('age'), unit = words('age_unit'), weight = words('weight');
    var child = words('hospital_number');
    all('[data-who=number]').forEach(function (line) {
      var ending = child ? (child.length < 6 ? '' : child.slice(-3)) : line.dataset.ending;
      line.textContent = ending ? '… ' + ending : '';
    });
    all('[data-who=age]').forEach(function (line) { line.textContent = number && unit ? number + ' ' + unit : 'New record'; });
    all('[data-who=weight]').forEach(function (line) { line.textContent = weight ? weight + ' kg' : ''; });
    all('[data-echo]').forEach(echo);
  }

  function show(html) {
    var next = new DOMParser().parseFromString(html, 'text/html');
    var fresh = next.getElementById('record');
    if (!fresh) return false;
    var before = named('attempts')[0].value;
    record().replaceWith(fresh);
    document.title = next.title;
    begin();
    var told = record().querySelector('.err');
    var attempts = named('attempts')[0].value;
    var place = told || document.getElementById('a' + attempts);
    if (place && (told || attempts !== before)) {
      place.focus({ preventScroll: true });
      place.scrollIntoView();
    }
    return true;
  }

  // Not the form but a page that says why not: its words come to the form, and what was typed stays where it is.
  function told(html) {
    var page = new DOMParser().parseFromString(html, 'text/html');
    var words = Array.from(page.querySelectorAll('main h1, main .lede')).map(function (line) { return line.textContent.trim(); });
    say((words.join('. ') || 'It could not be saved') + ' Nothing was saved yet; everything you typed is still here.', true);
  }

  // ---- the session ended: sign in over the page, and go on where one was ----
  var goOn = null;

  function signInAgain(then) {
    var box = document.getElementById('again');
    if (!box) return false;
    goOn = then || goOn;
    if (!box.open) box.showModal();
    return true;
  }

  function newSecret(secret) {
    document.querySelectorAll('input[name="_csrf"]').forEach(function (field) { field.value = secret; });
  }

  document.addEventListener('submit', function (event) {
    if (event.target.id !== 'again-form') return;
    event.preventDefault();
    var said = document.getElementById('again-said');
    var fresh = fetch('/sign-in/again').then(function (answer) { return answer.text(); });
    fresh.then(function (secret) {
      var data = new URLSearchParams(new FormData(event.target));
      data.set('_csrf', secret);
      return fetch('/sign-in/again', { method: 'POST', body: data });
    }).then(function (answer) {
      return answer.text().then(function (text) {
        if (!answer.ok) { said.textContent = text; return; }
        newSecret(text);
        event.target.elements.password.value = '';
        said.textContent = '';
        document.getElementById('again').close();
        given = false;
        changed = true;
        var then = goOn;
        goOn = null;
        if (then) then(); else keep();
      });
    }).catch(function () { said.textContent = 'No connection. Try again when it is back.'; });
  });

  function send(name, value) {
    if (sending) return;
    sending = true;
    var button = document.getElementById('save');
    button.setAttribute('aria-disabled', 'true');
    say(name ? '' : 'Saving …');
    var data = new URLSearchParams(new FormData(form()));
    if (name) data.set(name, value);
    fetch(form().action, { method: 'POST', body: data, headers: { Accept: 'text/html' } })
      .then(function (answer) {
        if (answer.redirected) {
          given = true; // It is done, one way or another: there is nothing to keep any more.
          return location.assign(answer.url);
        }
        if (answer.status === 401 && signInAgain(function () { send(name, value); })) {
          return say('You were signed out. Nothing was saved yet; everything you typed is still here.', true);
        }
        return answer.text().then(function (html) {
          if (!show(html)) told(html);
        });
      })
      .catch(function () {
        say('No connection. Nothing was saved yet; everything you typed is still here. Try again when it is back.', true);
      })
      .finally(function () {
        sending = false;
        document.getElementById('save').removeAttribute('aria-disabled');
      });
  }

  // ---- the draft: kept at most two seconds after a change, one request at a time, tried again until it is there ----
  var KEEP_WITHIN = 1500, TRY_AGAIN = 4000;
  var waiting = null, keeping = false, changed = false, given = false;

  function later(delay) {
    if (!waiting && !given) waiting = setTimeout(keep, delay);
  }

  function touched() {
    changed = true;
    form().setAttribute('data-unkept', '');
    later(KEEP_WITHIN);
  }

  function kept(words, lost) {
    all('[data-kept]').forEach(function (line) { line.textContent = words; line.classList.toggle('lost', !!lost); });
  }

  function draft() {
    return new URLSearchParams(new FormData(form()));
  }

  function keep() {
    waiting = null;
    if (keeping || sending || !changed) { if (changed) later(KEEP_WITHIN); return; }
    keeping = true;
    changed = false;
    var was = form();
    fetch('/record/draft', { method: 'POST', body: draft(), headers: { Accept: 'text/plain, application/problem+json' }, keepalive: true })
      .then(function (answer) {
        return answer.text().then(function (text) {
          if (answer.ok) {
            if (was === form()) was.elements.revision.value = text;
            var now = new Date();
            return kept('kept ' + String(now.getHours()).padStart(2, '0') + ':' + String(now.getMinutes()).padStart(2, '0'));
          }
          if (answer.status === 401 && signInAgain(null)) {
            given = true;
            return kept('signed out: not kept since', true);
          }
          if (answer.status >= 400 && answer.status < 500 && text.indexOf('"busy"') < 0) {
            given = true; // Sending the same again would not help.
            return kept(JSON.parse(text).detail, true);
          }
          throw new Error(String(answer.status));
        });
      })
      .catch(function () {
        changed = true;
        kept('not kept yet, trying again', true);
      })
      .finally(function () {
        keeping = false;
        form().toggleAttribute('data-unkept', changed);
        if (changed) later(TRY_AGAIN);
      });
  }

  // The tab is closed or the phone put away: what is not kept yet is sent along without waiting for an answer.
  document.addEventListener('visibilitychange', function () {
    if (document.visibilityState === 'hidden' && (changed || keeping) && !sending && !given) navigator.sendBeacon('/record/draft', draft());
  });

  function begin() {
    counted = null;
    all('[data-so-far]').forEach(function (side) { side.hidden = false; });
    refresh(false);
  }

  document.addEventListener('submit', function (event) {
    if (!event.target.hasAttribute('data-record')) return;
    event.preventDefault();
    var by = event.submitter;
    send(by && by.name, by && by.value);
  });

  // The key Enter in a box for a number is a slip more often than a wish to save a half-filled record.
  document.addEventListener('keydown', function (event) {
    if (event.key === 'Enter' && event.target.matches('#record input')) event.preventDefault();
  });

  document.addEventListener('change', function (event) {
    var input = event.target;
    if (!input.closest('#record')) return;
    touched();
    if (input.type === 'checkbox' && input.checked) {
      named(input.name).forEach(function (other) {
        if (other !== input && (input.hasAttribute('data-alone') || other.hasAttribute('data-alone'))) other.checked = false;
      });
    }
    if (input.dataset.instead && input.checked) {
      document.getElementById(input.dataset.instead).value = '';
      all('[data-with="' + input.dataset.instead + '"]').forEach(function (unit) { unit.checked = false; });
    }
    if (input.dataset.with) {
      all('[data-instead="' + input.dataset.with + '"]').forEach(function (box) { box.checked = false; });
    }
    refresh(true);
    if (input.dataset.mend) {
      var box = document.getElementById(input.dataset.mend + '_typed') || document.getElementById(input.dataset.mend);
      if (box) { box.focus(); if (box.select) box.select(); }
    }
    if (input.hasAttribute('data-goes-on') && input.name === 'a' + named('attempts')[0].value + '.next') {
      send('attempt', 'another');
    }
  });

  document.addEventListener('input', function (event) {
    var input = event.target;
    if (!input.closest('#record') || input.type === 'radio' || input.type === 'checkbox') return;
    touched();
    all('[data-instead="' + input.id + '"]').forEach(function (box) { box.checked = false; });
    refresh(false);
  });

  begin();
  var told = record().querySelector('.err');
  if (told) told.focus();
})();
