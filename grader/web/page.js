// Keeps the ticks and the chosen size in this browser. Without it the page works as well; it only forgets.
(function () {
  "use strict";
  var key = "sock pattern " + document.documentElement.dataset.edition;
  var boxes = Array.prototype.slice.call(document.querySelectorAll(".tick, .pick"));
  var kept = document.querySelector(".kept");
  var store;
  try {
    store = window.localStorage; // some browsers keep nothing, or nothing for a file
    store.setItem(key + " test", "1");
    store.removeItem(key + " test");
  } catch (refused) {
    return;
  }
  function keep() {
    var on = boxes.filter(function (box) { return box.checked; }).map(function (box) { return box.id; });
    try {
      store.setItem(key, on.join(" "));
    } catch (full) { /* what can't be kept is forgotten */ }
  }
  var before = store.getItem(key);
  if (before !== null) {
    var on = before.split(" ");
    boxes.forEach(function (box) { box.checked = on.indexOf(box.id) >= 0; });
  }
  document.addEventListener("change", keep);
  document.addEventListener("reset", function () { setTimeout(keep, 0); }); // after the form has been reset
  if (boxes.length) {
    kept.hidden = false;
    var again = kept.querySelector("button");
    again.hidden = !document.querySelector(".tick");
    again.addEventListener("click", function () {
      boxes.forEach(function (box) { if (box.type === "checkbox") { box.checked = false; } });
      keep();
    });
  }
})();
