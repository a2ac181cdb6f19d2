// Draws the bale charts from the specs in the page. Without it, or without a script at all, the
// table below the charts holds the same values.
"use strict";

function paint() {
  const style = getComputedStyle(document.documentElement);
  const probe = document.createElement("span");
  document.body.append(probe);
  const colour = (name) => {
    // The browser resolves light-dark() for us.
    probe.style.color = `var(${name})`;
    return getComputedStyle(probe).color;
  };
  const found = {
    ink: colour("--ink"), soft: colour("--soft"), line: colour("--line"),
    plum: colour("--plum"), good: colour("--good"), harm: colour("--harm"), font: style.getPropertyValue("--text"),
  };
  probe.remove();
  return found;
}

function configured(colours) {
  return {
    background: null,
    font: colours.font,
    view: { stroke: colours.line },
    axis: {
      labelColor: colours.soft, titleColor: colours.soft, gridColor: colours.line, domainColor: colours.line,
      tickColor: colours.line, labelFontSize: 12, titleFontSize: 12, titleFontWeight: "normal",
    },
    style: {
      bale: { color: colours.plum, opacity: 0.7 },
      planned: { color: colours.good, opacity: 0.18 },
      wanted: { color: colours.good, strokeWidth: 2 },
      short: { color: colours.harm, opacity: 0.9 },
    },
  };
}

async function draw() {
  const charts = JSON.parse(document.getElementById("bale-charts").textContent);
  const config = configured(paint());
  // Shown before they are drawn: a hidden holder has no width, and a lone one takes the whole row.
  for (const figure of document.querySelectorAll(".charts figure")) figure.hidden = false;
  for (const holder of document.querySelectorAll("[data-chart]")) {
    const spec = { ...charts.specs[holder.dataset.chart], config };
    spec.data = { values: charts.rows };
    try {
      await vegaEmbed(holder, spec, {
        mode: "vega-lite", ast: true, actions: false, renderer: "canvas", defaultStyle: false,
        tooltip: { disableDefaultStyle: true },
      });
    } catch (error) {
      holder.closest("figure").hidden = true;
      console.error("the chart could not be drawn", error);
    }
  }
}

document.addEventListener("DOMContentLoaded", draw);
document.addEventListener("balewright:theme", draw);
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
