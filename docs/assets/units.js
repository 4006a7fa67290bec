// Metric or US units: kept in this browser, set on <html> before the first paint, so nothing on the page shifts.
(function () {
  var root = document.documentElement;
  var key = "firmwrap.units";
  var first = document.currentScript.getAttribute("data-units") || "metric"; // the site's, until a reader chooses
  function read() {
    try { return localStorage.getItem(key) || first; } catch (error) { return first; }
  }
  function show(units) {
    root.setAttribute("data-units", units);
    document.querySelectorAll("[data-set-units]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(button.getAttribute("data-set-units") === units));
    });
  }
  show(read());
  document.addEventListener("DOMContentLoaded", function () { show(read()); });
  document.addEventListener("click", function (event) {
    var button = event.target.closest("[data-set-units]");
    if (button) {
      var units = button.getAttribute("data-set-units");
      try { localStorage.setItem(key, units); } catch (error) { /* private window: the choice lasts for this page */ }
      show(units);
    } else if (event.target.closest("[data-print]")) {
      window.print();
    }
  });
  // A folded part is not printed by every browser: open all of them for the print, fold them again afterwards.
  var folded = [];
  window.addEventListener("beforeprint", function () {
    folded = Array.from(document.querySelectorAll("details:not([open])"));
    folded.forEach(function (part) { part.open = true; });
  });
  window.addEventListener("afterprint", function () {
    folded.forEach(function (part) { part.open = false; });
  });
})();
