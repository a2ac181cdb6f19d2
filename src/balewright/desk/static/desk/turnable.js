// The bale with its film: drag or arrow keys turn it, Home shows the thin spot.
// <canvas class="turnable" data-source="ID"> draws the JSON in the script of that id.
(() => {
  "use strict";
  let greeted;
  const TURN = 2 * Math.PI, MOST = 1.52, TILT_SIN = 0.33, TILT_COS = 0.944;
  const shade = (hex, light) =>
    `rgb(${[1, 3, 5].map((at) => Math.round(parseInt(hex.slice(at, at + 2), 16) * light)).join(" ")})`;

  function start(canvas) {
    const source = document.getElementById(canvas.dataset.source);
    const bale = source && JSON.parse(source.textContent), pen = canvas.getContext("2d");
    if (!bale || bale.version !== 1) return;
    // roll: the place of the round side in front, in radians; yaw: which end is seen.
    const home = { roll: bale.thin * TURN, yaw: 0.55 };
    let { roll, yaw } = home, waiting = false, held = null;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", bale.label);
    canvas.tabIndex = 0;
    canvas.style.touchAction = "pan-y";
    canvas.style.cursor = "grab";

    function draw() {
      waiting = false;
      const ratio = devicePixelRatio || 1, wide = canvas.clientWidth, high = canvas.clientHeight;
      canvas.width = wide * ratio;
      canvas.height = high * ratio;
      pen.setTransform(ratio, 0, 0, ratio, canvas.width / 2, canvas.height / 2);
      const half = bale.length, sin = Math.sin(yaw), cos = Math.cos(yaw);
      const size = 0.9 * Math.min(high / 2.35, wide / 2 / Math.hypot(1, half));
      // end: -1..1 along the axis; reach: 1 on the round side.
      const spot = (end, place, reach = 1) => {
        const up = reach * Math.sin(place - roll), out = reach * Math.cos(place - roll);
        const depth = out * cos - end * half * sin;
        return [size * (end * half * cos + out * sin), size * (depth * TILT_SIN - up * TILT_COS)];
      };
      const fill = (points, colour) => {
        pen.beginPath();
        points.forEach((point) => pen.lineTo(...point));
        pen.closePath();
        pen.fillStyle = pen.strokeStyle = colour;
        pen.lineWidth = 0.7;
        pen.fill();
        pen.stroke();
      };
      for (const [from, to, colour] of bale.arcs) {
        const pieces = Math.ceil((to - from) * 90), step = ((to - from) / pieces) * TURN;
        for (let a = from * TURN, n = 0; n < pieces; n++, a += step) {
          const place = a + step / 2 - roll;
          const facing = Math.cos(place) * cos * TILT_COS + Math.sin(place) * TILT_SIN;
          if (facing < -0.03) continue;
          const corners = [spot(-1, a), spot(1, a), spot(1, a + step), spot(-1, a + step)];
          fill(corners, shade(colour, 0.66 + 0.34 * Math.max(0, facing)));
        }
      }
      // Seen from outside, places run clockwise on flat side 1 and the other way on 2.
      const end = sin > 0 ? -1 : 1, rays = (count) => Array.from({ length: count }, (_, n) => n);
      for (const [colour, reach] of bale.flats[sin > 0 ? 1 : 0]) {
        const many = reach.length || 60;
        const rim = rays(2 * many).map((n) => spot(end, (n * Math.PI) / many, reach[n % many] ?? 1));
        fill(rim, shade(colour, 0.7 + 0.28 * Math.abs(sin)));
      }
      pen.strokeStyle = getComputedStyle(canvas).color;
      pen.lineWidth = 1.25;
      pen.beginPath();
      rays(73).forEach((n) => pen.lineTo(...spot(end, (n / 72) * TURN)));
      pen.stroke();
    }

    const redraw = () => waiting || (waiting = requestAnimationFrame(draw));
    const turn = (rolled, yawed) => {
      roll += rolled;
      yaw = Math.max(-MOST, Math.min(MOST, yaw + yawed));
      redraw();
    };
    canvas.addEventListener("pointerdown", (event) => canvas.setPointerCapture((held = event).pointerId));
    canvas.addEventListener("pointermove", (event) => {
      if (held) turn((event.clientY - held.clientY) / 90, (event.clientX - held.clientX) / 140);
      held = held && event;
    });
    canvas.addEventListener("lostpointercapture", () => { held = null; });
    const keys = { ArrowUp: [-0.12, 0], ArrowDown: [0.12, 0], ArrowLeft: [0, -0.12], ArrowRight: [0, 0.12] };
    canvas.addEventListener("keydown", (event) => {
      const by = event.key === "Home" ? [home.roll - roll, home.yaw - yaw] : keys[event.key];
      if (!by) return;
      turn(...by);
      event.preventDefault();
    });
    new ResizeObserver(redraw).observe(canvas);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
    if (greeted || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
    greeted = true;
    // One gentle turn that ends with the thin spot in front, unless somebody takes hold of it.
    let begun, last = (roll -= 1.5);
    requestAnimationFrame(function move(now) {
      const part = Math.min(1, (now - (begun ??= now)) / 1400);
      if (roll !== last) return;
      roll = last = home.roll - 1.5 * (1 - part) ** 3;
      draw();
      if (part < 1) requestAnimationFrame(move);
    });
  }

  const begin = () => document.querySelectorAll("canvas.turnable:not([role])").forEach(start);
  begin();
  document.addEventListener("htmx:afterSettle", begin);
})();
