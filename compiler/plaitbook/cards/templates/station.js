(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("data").textContent);
  var root = document.documentElement;
  function by(id) { return document.getElementById(id); }

  // --- words: English here, the card's own language from its data. {n} and the like are filled in.

  function t(text, values) {
    var said = data.say[text] ? data.say[text][0] : text;
    return said.replace(/\{(\w+)\}/g, function (all, name) { return values && name in values ? values[name] : all; });
  }
  function tn(one, many, n) {
    var found = data.say[one] || [one, many];
    return found[n === 1 || (n === 0 && data.noughtIsOne) ? 0 : 1].replace("{n}", n);
  }

  // --- what is kept: ticks, counters, clock and theme, under a key made from the card's content

  var fresh = { ticks: {}, done: 0, stitch: 0, spent: 0, since: 0, theme: "" };
  var state = Object.assign({}, fresh, { ticks: {} });
  var keeps = true;
  try {
    var found = JSON.parse(window.localStorage.getItem(data.key) || "{}");
    Object.keys(fresh).forEach(function (name) {
      if (typeof found[name] === typeof fresh[name] && found[name] !== null) { state[name] = found[name]; }
    });
    window.localStorage.setItem(data.key, JSON.stringify(state));
  } catch (error) { keeps = false; }
  function keep() {
    if (!keeps) { return; }
    try { window.localStorage.setItem(data.key, JSON.stringify(state)); } catch (error) { keeps = false; warn(); }
  }
  function warn() {
    by("kept").hidden = false;
    by("kept").textContent = t("This browser keeps nothing for this page: ticks, counters and clock will be gone after a reload.");
  }
  if (!keeps) { warn(); }

  function say(words) {
    var said = by("said");
    // The same words twice in a row must be read twice.
    said.textContent = said.textContent === words ? words + "\u00a0" : words;
  }

  // --- steps

  var boxes = Array.prototype.slice.call(document.querySelectorAll("input[data-step]"));
  function current() { return boxes.find(function (box) { return !box.checked; }) || null; }
  function name(box) { return box.parentElement.querySelector("span").firstChild.textContent.trim(); }
  function showSteps() {
    var now = current();
    var ticked = 0;
    boxes.forEach(function (box) {
      var item = box.closest("li");
      if (box.checked) { ticked += 1; }
      item.classList.toggle("done", box.checked);
      item.classList.toggle("now", box === now);
      if (box === now) { box.setAttribute("aria-current", "step"); } else { box.removeAttribute("aria-current"); }
    });
    by("progress").textContent = t("{done} of {whole} steps done.", { done: ticked, whole: boxes.length });
    by("next-text").textContent = now ? t("Next: {step}", { step: name(now) }) : t("Every step is done.");
    by("tick").disabled = by("go").disabled = !now;
  }
  function focusOn(box) {
    box.focus({ preventScroll: true });
    box.closest("li").scrollIntoView({ block: "center" });
  }
  boxes.forEach(function (box) {
    box.checked = state.ticks[box.dataset.step] === 1;
    box.addEventListener("change", function () {
      if (box.checked) { state.ticks[box.dataset.step] = 1; } else { delete state.ticks[box.dataset.step]; }
      keep();
      showSteps();
    });
  });
  by("go").addEventListener("click", function () { var now = current(); if (now) { focusOn(now); } });
  by("tick").addEventListener("click", function () {
    var now = current();
    if (!now) { return; }
    now.checked = true;
    state.ticks[now.dataset.step] = 1;
    keep();
    showSteps();
    var next = current();
    say(t("Done: {step}.", { step: name(now) }) + " " + by("next-text").textContent);
    if (next) { next.closest("li").scrollIntoView({ block: "center" }); } else { by("clear").focus(); }
  });

  // --- sections and stitches

  var total = data.sections.length;
  function inHand() { return data.sections[Math.min(state.done, total - 1)]; }
  function schedule() { var hand = inHand(); return hand && hand[2] >= 0 ? data.schedules[hand[2]] : null; }
  function handWords() {
    if (!total) { return t("This card has no sections."); }
    if (state.done >= total) { return t("Every section is done."); }
    return t("In hand: section {number}, {zone}.", { number: inHand()[0], zone: data.words[inHand()[1]] });
  }
  function eventsAt(stitch) {
    var found = schedule();
    return !found || state.done >= total ? [] : found[1].filter(function (e) { return e[0] === stitch; }).map(function (e) { return data.words[e[1]]; });
  }
  function comingWords() {
    var found = schedule();
    if (!found || state.done >= total) { return ""; }
    var next = found[1].find(function (e) { return e[0] > state.stitch; });
    if (!next) {
      return state.stitch >= found[0] ? t("The strand is finished.") :
        tn("Nothing more to lay in: {n} stitch to the end.", "Nothing more to lay in: {n} stitches to the end.", found[0] - state.stitch);
    }
    return t("Next at stitch {stitch} (in {ahead}): {what}.", { stitch: next[0], ahead: next[0] - state.stitch, what: eventsAt(next[0]).join("; ") });
  }
  function showCounters() {
    var found = schedule();
    by("done").textContent = state.done;
    by("hand").textContent = handWords();
    by("stitch").textContent = state.stitch;
    by("of").textContent = found && state.done < total ? t("of {whole}", { whole: found[0] }) : "";
    var here = eventsAt(state.stitch);
    by("coming").textContent = (here.length ? (state.stitch ? t("Now: {what}.", { what: here.join("; ") }) : t("At the start: {what}.", { what: here.join("; ") })) + " " : "") + comingWords();
    by("done-less").disabled = state.done === 0;
    by("done-more").disabled = state.done >= total;
    by("stitch-less").disabled = state.stitch === 0;
    by("stitch-more").disabled = !found || state.done >= total || state.stitch >= found[0];
  }
  function stay(button, other) { if (button.disabled && document.activeElement === document.body) { other.focus(); } }
  function step(by_how_many) {
    var found = schedule();
    state.stitch = Math.max(0, Math.min(state.stitch + by_how_many, found ? found[0] : 0));
    keep();
    var here = eventsAt(state.stitch);
    var next = found ? found[1].find(function (e) { return e[0] > state.stitch; }) : null;
    say((here.length ? t("Stitch {stitch}: {what}", { stitch: state.stitch, what: here.join("; ") }) : t("Stitch {stitch}", { stitch: state.stitch })) +
      (next && next[0] - state.stitch === 1 ? ". " + t("Next stitch: {what}", { what: eventsAt(next[0]).join("; ") }) : ""));
    showCounters();
  }
  function section(by_how_many) {
    state.done = Math.max(0, Math.min(state.done + by_how_many, total));
    state.stitch = 0;
    keep();
    showCounters();
    showClock();
    say(t("{done} of {whole} done.", { done: state.done, whole: total }) + " " + handWords() + " " + by("standing").textContent);
  }
  by("stitch-more").addEventListener("click", function () { step(1); stay(by("stitch-more"), by("done-more")); });
  by("stitch-less").addEventListener("click", function () { step(-1); stay(by("stitch-less"), by("stitch-more")); });
  by("done-more").addEventListener("click", function () { section(1); stay(by("done-more"), by("done-less")); });
  by("done-less").addEventListener("click", function () { section(-1); stay(by("done-less"), by("done-more")); });

  // --- the clock against the checkpoints

  function minutes() { return (state.spent + (state.since ? Math.max(0, Date.now() - state.since) : 0)) / 60000; }
  function long(n) {
    var whole = Math.max(0, Math.round(n));
    var hours = Math.floor(whole / 60);
    return hours ? hours + " h" + (whole % 60 ? " " + (whole % 60 < 10 ? "0" : "") + whole % 60 : "") : whole + " min";
  }
  function dueAt(sections) {
    // Minutes by which this many sections should be done: straight lines between the checkpoints.
    var points = data.checkpoints;
    var before = [points.length && points[0][1] ? Math.max(0, points[0][0] - points[0][1] * pace()) : 0, 0];
    for (var i = 0; i < points.length; i += 1) {
      if (sections <= points[i][1]) {
        var gap = points[i][1] - before[1];
        return gap ? before[0] + (points[i][0] - before[0]) * (sections - before[1]) / gap : points[i][0];
      }
      before = points[i];
    }
    return before[0];
  }
  function pace() {
    var points = data.checkpoints, last = points[points.length - 1], first = points[0];
    return points.length > 1 && last[1] > first[1] ? (last[0] - first[0]) / (last[1] - first[1]) : last[0] / last[1];
  }
  function showClock() {
    var spent = minutes();
    var began = state.since || state.spent;
    by("time").textContent = long(spent);
    by("start").textContent = state.since ? t("Stop the clock") : began ? t("Go on") : t("Start the clock");
    var coming = data.checkpoints.find(function (p) { return p[1] > state.done; });
    by("ahead").textContent = coming ? t("Checkpoint: {number} of {whole} by {time}.", { number: coming[1], whole: total, time: long(coming[0]) }) : "";
    if (!began) { by("standing").textContent = t("The clock hasn't started."); return; }
    if (!data.checkpoints.length) { by("standing").textContent = ""; return; }
    if (state.done >= total) { by("standing").textContent = t("All sections are done."); return; }
    var from = dueAt(state.done), to = dueAt(state.done + 1);
    var late = spent > to ? spent - to : spent < from ? spent - from : 0;
    var time = { time: long(Math.abs(late)) };
    var words = Math.round(Math.abs(late)) < 3 ? t("On time") : late > 0 ? t("About {time} behind", time) : t("About {time} ahead", time);
    by("standing").textContent = state.since ? words + "." : t("{standing}; the clock stands.", { standing: words });
  }
  by("start").addEventListener("click", function () {
    if (state.since) { state.spent += Math.max(0, Date.now() - state.since); state.since = 0; } else { state.since = Date.now(); }
    keep();
    showClock();
    say(state.since ? t("The clock runs.") : t("The clock stands at {time}.", { time: long(minutes()) }));
  });
  window.setInterval(showClock, 5000);

  // --- theme, and beginning afresh

  var dark = window.matchMedia ? window.matchMedia("(prefers-color-scheme: dark)") : null;
  function showTheme() {
    var isDark = state.theme ? state.theme === "dark" : Boolean(dark && dark.matches);
    root.dataset.theme = isDark ? "dark" : "light";
    by("theme").setAttribute("aria-pressed", String(isDark));
  }
  if (dark && dark.addEventListener) { dark.addEventListener("change", showTheme); }
  by("theme").addEventListener("click", function () {
    state.theme = root.dataset.theme === "dark" ? "light" : "dark";
    keep();
    showTheme();
  });
  var sure = by("sure");
  by("clear").addEventListener("click", function () { sure.showModal(); by("keep").focus(); });
  by("keep").addEventListener("click", function () { sure.close(); by("clear").focus(); });
  by("clear-now").addEventListener("click", function () {
    var theme = state.theme;
    state = Object.assign({}, fresh, { ticks: {}, theme: theme });
    boxes.forEach(function (box) { box.checked = false; });
    keep();
    sure.close();
    showAll();
    by("start").focus();
    say(t("Everything is cleared."));
  });

  // The whole caution stands first on the page; its beginning stays in sight below that.
  var brief = by("brief");
  if (brief) {
    window.addEventListener("scroll", function () { brief.hidden = window.scrollY < brief.parentElement.offsetHeight; }, { passive: true });
  }

  function showAll() { showSteps(); showCounters(); showClock(); showTheme(); }
  showAll();
})();
