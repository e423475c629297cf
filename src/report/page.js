"use strict";
// Draws the frames that stand in #data, steps through the preview's way, and plays the show live when a trigger is raised.
(() => {
  const find = (id) => document.getElementById(id);
  const holder = find("data");
  const build = document.body.dataset.build;
  if (build) follow(build);
  if (!holder) return;
  const show = JSON.parse(holder.textContent);
  const HOLD = -1, IGNORE = -1, REPEAT = -2, BACK = -3;
  const rowBytes = Math.ceil(show.width / 8), frameBytes = rowBytes * show.height;
  const glass = find("glass"), scrub = find("scrub"), place = find("place"), play = find("play"), cueSaid = find("cue");
  const way = [];
  for (const [scene, first, count, step] of show.tour) {
    for (let at = 0; at < count; at++) way.push([scene, first + at * step]);
  }
  let frames = [], at = 0, live = null, playing = false, due = 0;

  const LOOKS = {
    own: { lit: show.lit, second: show.second && show.second[1], mask: show.second && bytesOf(show.second[0]), glass: [4, 5, 6], unlit: [16, 19, 22] },
    white: { lit: [235, 243, 255], glass: [4, 5, 6], unlit: [16, 19, 22] },
    blue: { lit: [92, 190, 255], glass: [4, 5, 8], unlit: [14, 18, 26] },
    split: { lit: [255, 220, 60], second: [92, 190, 255], from: 0.25, glass: [4, 5, 6], unlit: [16, 19, 22] },
    amber: { lit: [255, 176, 48], glass: [6, 5, 4], unlit: [22, 18, 14] },
    green: { lit: [110, 255, 120], glass: [4, 6, 4], unlit: [15, 22, 16] },
    lcd: { lit: [38, 46, 40], glass: [150, 160, 140], unlit: [143, 153, 133], lcd: true },
  };

  function bytesOf(text) {
    return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  }

  async function unpack() {
    const packed = new Blob([bytesOf(show.frames)]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
    const all = new Uint8Array(await new Response(packed).arrayBuffer());
    let from = 0;
    frames = show.scenes.map((scene) => {
      const list = [];
      for (let number = 0; number < scene.count; number++, from += frameBytes) {
        const picture = all.slice(from, from + frameBytes);
        const before = list[number - 1];
        if (before) for (let byte = 0; byte < frameBytes; byte++) picture[byte] ^= before[byte];
        list.push(picture);
      }
      return list;
    });
  }

  function lightOf(scene, frame) {
    for (const [count, light] of show.scenes[scene].light) {
      if (frame < count) return light;
      frame -= count;
    }
    return -1;
  }

  const brightest = Math.max(1, ...show.scenes.flatMap((scene) => scene.light.map((run) => run[1])));

  function draw() {
    const [scene, frame] = live ? [live.scene, live.frame] : way[at];
    const picture = frames[scene][frame], light = lightOf(scene, frame);
    const look = LOOKS[find("look").value], day = find("light").value === "day";
    const wanted = Number(find("size").value);
    const pitch = wanted || Math.max(3, Math.min(8, Math.floor(560 / show.width)));
    const dot = Math.max(1, pitch - Math.floor(pitch / 5)), margin = 3 * pitch;
    const width = show.width * pitch + 2 * margin, height = Math.round(show.height * pitch * show.pitch[1] / show.pitch[0]) + 2 * margin;
    if (glass.width !== width || glass.height !== height) [glass.width, glass.height] = [width, height];
    const across = pitch, down = (height - 2 * margin) / show.height;
    const paper = glass.getContext("2d");
    const colour = (rgb) => `rgb(${rgb.map(Math.round).join(" ")})`;
    // The current through a pixel goes with its contrast (SSD1306 data sheet §8.8), a screen's value with the 1/2.2nd power.
    const share = look.lcd ? 1 : 1 / 6 + 5 / 6 * Math.pow(Math.max(light, 0) / brightest, 1 / 2.2);
    // By day the glass reflects a tenth of white, so that lit pixels stand out less (common practice).
    const seen = (rgb) => rgb.map((part) => (day && !look.lcd ? Math.min(255, part * 0.9 + 52) : !day && look.lcd ? part * 0.45 : part));
    const dimmed = (rgb) => rgb.map((part) => part * share);
    paper.fillStyle = day ? "#8b8f96" : "#2a2c30";
    paper.fillRect(0, 0, width, height);
    const [left, top, wide, high] = show.opening || [-1, -1, show.width + 2, show.height + 2];
    paper.save();
    paper.beginPath();
    paper.rect(margin + left * across, margin + top * down, wide * across, high * down);
    paper.clip();
    paper.fillStyle = colour(seen(look.glass));
    paper.fillRect(0, 0, width, height);
    const paint = (lit, second, fill) => {
      paper.fillStyle = fill;
      for (let y = 0; y < show.height; y++) {
        for (let x = 0; x < show.width; x++) {
          const bit = (bits) => bits[y * rowBytes + (x >> 3)] >> (7 - (x & 7)) & 1;
          const shines = light >= 0 && bit(picture) === 1;
          const other = look.mask ? bit(look.mask) === 1 : look.from !== undefined && y >= show.height * look.from;
          if (shines === lit && (!lit || (look.second ? other : false) === second)) {
            paper.fillRect(margin + x * across, Math.round(margin + y * down), dot, dot);
          }
        }
      }
    };
    paint(false, false, colour(seen(look.unlit)));
    paint(true, false, colour(seen(dimmed(look.lit))));
    if (look.second) paint(true, true, colour(seen(dimmed(look.second))));
    paper.restore();
    tell(scene, frame, light);
  }

  function tell(scene, frame, light) {
    const seconds = live ? live.count / show.frames_a_second : at / show.frames_a_second;
    const words = `${show.scenes[scene].name}, frame ${frame + 1} of ${show.scenes[scene].count}, ${seconds.toFixed(2)} s, contrast ${Math.max(light, 0)}${live ? ", live" : ""}`;
    place.textContent = words;
    if (!live) {
      scrub.value = at;
      scrub.setAttribute("aria-valuetext", words);
    }
    const cues = show.scenes[scene].cues.filter((mark) => mark[0] === frame).map((mark) => show.cues[mark[1]]);
    if (cues.length) cueSaid.textContent = `cue ${cues.join(", ")}`;
    for (const line of document.querySelectorAll("svg.plot")) {
      const now = line.querySelector(".now"), left = Number(line.dataset.left), width = Number(line.dataset.width);
      const x = left + (at + 0.5) / way.length * (width - left);
      now.setAttribute("x1", x);
      now.setAttribute("x2", x);
    }
  }

  // The show's own course: the same rules as the player's.
  function enter(scene) {
    live.scene = scene;
    live.frame = 0;
  }
  function step() {
    if (!live) {
      at = (at + 1) % way.length;
      return;
    }
    live.count += 1;
    const scene = show.scenes[live.scene];
    if (live.frame + 1 < scene.count) live.frame += 1;
    else if (scene.then === REPEAT) live.frame = 0;
    else if (scene.then === BACK) enter(live.former);
    else if (scene.then !== HOLD) enter(scene.then);
  }
  function raise(trigger) {
    if (!live) live = { scene: way[at][0], frame: way[at][1], former: former(), count: 0 };
    const target = show.scenes[live.scene].reactions[trigger];
    if (target !== undefined && target !== IGNORE) {
      const next = target === BACK ? live.former : target;
      if (next !== live.scene) live.former = live.scene;
      enter(next);
    }
    run(true);
    draw();
  }
  function former() {
    for (let frame = at; frame >= 0; frame--) if (way[frame][0] !== way[at][0]) return way[frame][0];
    return show.start;
  }

  function run(wanted) {
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    play.setAttribute("aria-pressed", String(playing));
    if (playing) {
      due = performance.now();
      requestAnimationFrame(tick);
    }
  }
  function tick(now) {
    if (!playing) return;
    const period = 1000 / show.frames_a_second / Number(find("speed").value);
    if (now - due > 10 * period) due = now - period;
    let moved = false;
    while (now - due >= period) {
      due += period;
      step();
      moved = true;
    }
    if (moved) draw();
    requestAnimationFrame(tick);
  }
  function go(frame) {
    live = null;
    at = Math.max(0, Math.min(way.length - 1, frame));
    draw();
  }
  function still(frame) {
    run(false);
    go(frame);
  }

  function keys(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const field = event.target.closest("input, select, button");
    const act = {
      " ": () => run(!playing), ArrowLeft: () => still(at - 1), ArrowRight: () => still(at + 1),
      Home: () => still(0), End: () => still(way.length - 1), 0: () => go(at),
    }[event.key];
    if (field && !/^[0-9]$/.test(event.key)) return;
    if (field && field.type === "number") return;
    if (act) act();
    else if (/^[1-9]$/.test(event.key) && Number(event.key) <= show.triggers.length) raise(Number(event.key) - 1);
    else return;
    event.preventDefault();
  }

  unpack().then(() => {
    const kept = JSON.parse(sessionStorage.getItem("pageloom") || "{}");
    const hash = /frame=(\d+)/.exec(location.hash);
    if (build && kept.at !== undefined) at = Math.min(kept.at, way.length - 1);
    if (hash) at = Math.min(Number(hash[1]), way.length - 1);
    for (const id of ["look", "speed", "light", "size", "density"]) {
      if (build && kept[id]) find(id).value = kept[id];
      find(id).addEventListener("input", draw);
    }
    play.addEventListener("click", () => run(!playing));
    find("back").addEventListener("click", () => still(at - 1));
    find("on").addEventListener("click", () => still(at + 1));
    find("tour").addEventListener("click", () => go(at));
    find("true-size").addEventListener("click", () => {
      find("size").value = Math.max(1, Math.round(show.pitch[0] * Number(find("density").value) * devicePixelRatio));
      draw();
    });
    scrub.addEventListener("input", () => still(Number(scrub.value)));
    for (const button of document.querySelectorAll(".trigger")) button.addEventListener("click", () => raise(Number(button.dataset.trigger)));
    for (const button of document.querySelectorAll(".timeline .scene")) button.addEventListener("click", () => still(Number(button.dataset.frame)));
    document.addEventListener("keydown", keys);
    addEventListener("pagehide", () => {
      const state = { at, playing };
      for (const id of ["look", "speed", "light", "size", "density"]) state[id] = find(id).value;
      sessionStorage.setItem("pageloom", JSON.stringify(state));
    });
    draw();
    document.body.dataset.ready = "yes";
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    if (build && kept.playing && !show.paused && !calm) run(true);
  });

  // Waits for the next build and loads the page anew.
  async function follow(number) {
    for (;;) {
      try {
        const answer = await fetch(`/wait?after=${number}`);
        if (answer.ok && (await answer.text()) !== number) return location.reload();
      } catch {
        await new Promise((resolve) => setTimeout(resolve, 1000));
      }
    }
  }
})();
