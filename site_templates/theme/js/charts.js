/* Charts are drawn when they come into view; until then, and without this script, their tables stand. */
(function () {
  "use strict";
  const here = document.currentScript.src;
  let loading = null;

  function library() {
    loading =
      loading ||
      new Promise((done, fail) => {
        const script = document.createElement("script");
        script.src = new URL("plotly.min.js", here).href;
        script.onload = () => done(window.Plotly);
        script.onerror = fail;
        document.head.append(script);
      });
    return loading;
  }

  function palette() {
    const style = getComputedStyle(document.body);
    const of = (name) => style.getPropertyValue(name).trim();
    return {
      ink: of("--tb-ink"),
      soft: of("--tb-soft"),
      rule: of("--tb-rule"),
      series: [of("--tb-leaf"), of("--tb-straw"), of("--tb-clay")],
    };
  }

  function draw(box) {
    const figure = JSON.parse(box.dataset.fig);
    const look = palette();
    const axis = { gridcolor: look.rule, linecolor: look.rule, zerolinecolor: look.rule, fixedrange: true };
    const layout = Object.assign(
      { height: 320, margin: { l: 56, r: 8, t: 8, b: 48 }, showlegend: figure.data.length > 1 },
      figure.layout,
      {
        colorway: look.series,
        paper_bgcolor: "rgba(0,0,0,0)",
        plot_bgcolor: "rgba(0,0,0,0)",
        font: { color: look.ink, family: getComputedStyle(document.body).fontFamily, size: 13 },
        xaxis: Object.assign({}, axis, figure.layout.xaxis),
        yaxis: Object.assign({}, axis, figure.layout.yaxis),
      }
    );
    library().then((plotly) => {
      box.hidden = false;
      plotly.newPlot(box, figure.data, layout, { displayModeBar: false, responsive: true });
    });
  }

  function watch() {
    const boxes = document.querySelectorAll(".tb-chart[data-fig]");
    if (!boxes.length || !("IntersectionObserver" in window)) return;
    const observer = new IntersectionObserver(
      (seen) =>
        seen.forEach((entry) => {
          if (!entry.isIntersecting) return;
          observer.unobserve(entry.target);
          draw(entry.target);
        }),
      { rootMargin: "120px" }
    );
    boxes.forEach((box) => observer.observe(box));
  }

  watch();
})();
