/* In the grower's own preview: open the page anew when a new build is there. */
(function () {
  "use strict";
  let seen = null;
  setInterval(() => {
    fetch("/built-now")
      .then((answer) => answer.text())
      .then((now) => {
        if (seen !== null && now !== seen) location.reload();
        seen = now;
      })
      .catch(() => {});
  }, 500);
})();
