// Turns the view. Every word and picture is in the page's data; nothing is worked out here and nothing is fetched.
(() => {
  "use strict";
  const id = (name) => document.getElementById(name);
  let walk;
  try {
    walk = JSON.parse(id("walk-data").textContent);
  } catch {
    return; // The page stays the static one.
  }
  const { places, fits } = walk;
  const way = id("way"), here = id("here"), hand = id("hand"), stage = id("stage"), compare = id("compare");
  const views = [...stage.querySelectorAll(".view")];
  const radios = [...document.querySelectorAll("input[name=fit]")];
  const plot = document.querySelector(".plot");
  let at = walk.start, chosen = 0, turned = places[at].degrees;

  const round = (place) => ((place % places.length) + places.length) % places.length;
  const degrees = (value) => String(Math.round(value * 100) / 100).replace(/^\d+/, (whole) => whole.padStart(3, "0"));

  function lamps(letters) {
    if (!letters) {
      const none = document.createElement("span");
      none.className = "lamp none";
      none.textContent = "none";
      return [none];
    }
    return [...letters].map((letter) => {
      const lamp = document.createElement("span");
      lamp.className = "lamp " + letter.toLowerCase();
      lamp.textContent = letter;
      return lamp;
    });
  }

  function turn(place) {
    at = round(place);
    const { degrees: bearing, words } = places[at];
    const label = `${words} (${degrees(bearing)} degrees)`;
    way.value = at;
    here.textContent = label;
    // By the shorter way round, so that the hand never sweeps across the boat.
    turned += ((bearing - turned) % 360 + 540) % 360 - 180;
    hand.style.transform = `rotate(${turned}deg)`;
    fits.forEach((fit, index) => {
      const line = fit.told[at];
      id(`lamps-${index}`).replaceChildren(...lamps(line.letters));
      const stand = id(`stand-${index}`);
      stand.className = "stand " + line.stand;
      stand.textContent = line.stand_words;
      id(`said-${index}`).textContent = line.said;
      const picture = id(`picture-${index}`);
      if (picture && fit.pictures[at]) {
        picture.src = fit.pictures[at];
        picture.alt = `The boat at night from ${words}, ${fit.name}`;
      }
    });
    const told = fits.map((fit) => `${fit.name}, ${fit.told[at].stand_words}: ${fit.told[at].said}`).join(" ");
    way.setAttribute("aria-valuetext", `From ${label}. ${told}`);
  }

  function show(fit) {
    views.forEach((view, index) => view.toggleAttribute("data-shown", index === fit));
  }

  function choose(fit) {
    chosen = fit;
    if (radios[fit]) radios[fit].checked = true;
    show(fit);
  }

  way.addEventListener("input", () => turn(Number(way.value)));
  id("back").addEventListener("click", () => turn(at - 1));
  id("on").addEventListener("click", () => turn(at + 1));
  radios.forEach((radio, index) => radio.addEventListener("change", () => choose(index)));

  // Past either end the slider goes on round. The arrow keys work wherever nothing else wants them.
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const busy = event.target.closest?.("input, summary, a");
    if (busy && busy !== way) return;
    const vertical = busy === way ? { ArrowUp: 1, ArrowDown: -1 } : {};
    const step = { ArrowRight: 1, ArrowLeft: -1, ...vertical }[event.key];
    if (!step) return;
    event.preventDefault();
    turn(at + step);
  });

  // A finger drawn across a picture's whole width walks half-way round her. To the right is clockwise: the side nearer the
  // onlooker goes with the finger.
  let drag = null;
  stage.addEventListener("pointerdown", (event) => {
    if (event.button || event.target.closest(".said")) return;
    const view = event.target.closest(".view");
    if (!view) return;
    drag = { pointer: event.pointerId, x: event.clientX, from: at, width: view.clientWidth };
    stage.setPointerCapture(event.pointerId);
  });
  stage.addEventListener("pointermove", (event) => {
    if (drag?.pointer !== event.pointerId) return;
    const steps = Math.round(((event.clientX - drag.x) / drag.width) * (places.length / 2));
    if (round(drag.from + steps) !== at) turn(drag.from + steps);
  });
  for (const end of ["pointerup", "pointercancel"]) stage.addEventListener(end, () => (drag = null));

  // A touch of the rings goes there.
  plot.addEventListener("click", (event) => {
    const box = plot.getBoundingClientRect();
    const x = event.clientX - box.left - box.width / 2, y = event.clientY - box.top - box.height / 2;
    const bearing = (Math.atan2(x, -y) * 180) / Math.PI;
    const off = (place) => Math.abs(((places[place].degrees - bearing) % 360 + 540) % 360 - 180);
    turn(places.reduce((best, _, place) => (off(place) < off(best) ? place : best), 0));
  });

  if (compare) {
    const hold = (held) => {
      compare.classList.toggle("held", held);
      show(held ? 1 - chosen : chosen);
    };
    compare.addEventListener("pointerdown", () => hold(true));
    for (const end of ["pointerup", "pointercancel", "pointerleave", "blur"]) compare.addEventListener(end, () => hold(false));
    const keys = (event) => event.key === " " || event.key === "Enter";
    compare.addEventListener("keydown", (event) => keys(event) && hold(true));
    compare.addEventListener("keyup", (event) => keys(event) && hold(false));
    compare.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  document.querySelectorAll(".turn").forEach((button) =>
    button.addEventListener("click", () => {
      choose(Number(button.dataset.fit));
      turn(Number(button.dataset.place));
      const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
      document.querySelector(".round").scrollIntoView({ behavior: still ? "auto" : "smooth", block: "start" });
      way.focus({ preventScroll: true });
    }),
  );

  document.documentElement.classList.replace("still", "live");
  turn(at);
})();
