// The filter and the order of the index. Without this script every set is shown, by name.
(function () {
  "use strict";

  function start() {
    var list = document.getElementById("sets-list");
    var form = document.getElementById("filter");
    if (!list || !form || !form.hidden) return;
    var count = document.getElementById("filter-count");
    var cards = Array.prototype.slice.call(list.children);
    var byName = cards.slice();

    function chosen(name) {
      var field = document.getElementById("filter-" + name);
      return field ? field.value : "";
    }

    function fits(card, words) {
      var state = chosen("state");
      var kind = chosen("kind");
      if (state && card.dataset.state !== state) return false;
      if (kind && card.dataset.kind !== kind) return false;
      return words.every(function (word) { return card.dataset.sought.indexOf(word) >= 0; });
    }

    // Sets without a year or a date come last, whichever way the order runs.
    function inOrder(order) {
      if (order === "name") return byName;
      var downwards = order === "dated" ? -1 : 1;
      return byName.slice().sort(function (one, other) {
        var a = one.dataset[order];
        var b = other.dataset[order];
        if (a === b) return 0;
        if (!a || !b) return a ? -1 : 1;
        return (a < b ? -1 : 1) * downwards;
      });
    }

    function apply() {
      var words = chosen("text").toLowerCase().split(/\s+/).filter(Boolean);
      var shown = 0;
      cards.forEach(function (card) {
        card.hidden = !fits(card, words);
        shown += card.hidden ? 0 : 1;
      });
      count.textContent = shown === cards.length
        ? "All " + shown + " sets are shown."
        : shown + " of " + cards.length + " sets are shown.";
    }

    function arrange() {
      inOrder(chosen("order")).forEach(function (card) { list.appendChild(card); });
    }

    form.addEventListener("submit", function (event) { event.preventDefault(); });
    form.addEventListener("input", apply);
    form.addEventListener("change", function () { arrange(); apply(); });
    form.hidden = false;
    count.hidden = false;
    document.getElementById("opened-as-file").hidden = location.protocol !== "file:";
    arrange();
    apply();
  }

  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
