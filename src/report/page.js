// Steps through the preview, plays the show live when a trigger is raised, and shows each new build of a served page.
const HOLD = -1, IGNORE = -1, REPEAT = -2, BACK = -3;
const KEPT = ["look", "speed", "light", "size", "density", "age"];
// Width and height of a bank card in millimetres (ISO/IEC 7810 ID-1).
const CARD = [85.6, 53.98];
const find = (id) => document.getElementById(id);
const bytesOf = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
// The current preview of the page; `null` before the first good build.
let bench = null;
// The drawing board of a served page; `null` on a page that is a file.
let board = null;

// Pictures are packed in the page. Each one, except the first of a scene, is stored as its difference from the one before.
async function inflated(text) {
  const packed = new Blob([bytesOf(text)]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(packed).arrayBuffer());
}
function pictures(all, from, count, show) {
  const frameBytes = Math.ceil(show.width / 8) * show.height, frames = [];
  for (let number = 0; number < count; number++, from += frameBytes) {
    const picture = all.slice(from, from + frameBytes), before = frames[number - 1];
    if (before) for (let byte = 0; byte < frameBytes; byte++) picture[byte] ^= before[byte];
    frames.push(picture);
  }
  return frames;
}

// Reads a page's data with all its frames, so that the picture can change at once.
async function unpacked(holder) {
  const show = JSON.parse(holder.textContent), all = await inflated(show.frames);
  const frameBytes = Math.ceil(show.width / 8) * show.height;
  let from = 0;
  for (const scene of show.scenes) {
    scene.built = scene.frames = pictures(all, from, scene.count, show);
    from += scene.count * frameBytes;
    if (!scene.sliders) continue;
    const drawn = await inflated(scene.sliders.pictures);
    scene.sliders.lowest = pictures(drawn, 0, scene.count, show);
    scene.sliders.changes = drawn.subarray(scene.count * frameBytes);
    scene.sliders.steps = scene.sliders.values.reduce((sum, value) => sum + value[1], 0);
  }
  if (show.age) show.age.wear = await inflated(show.age.wear);
  for (const display of show.displays) display.mask = display.second && bytesOf(display.second);
  for (const one of [show, ...show.scenes]) one.lateAt = new Map(one.late);
  show.way = [];
  for (const [scene, first, count, step] of show.tour) {
    for (let at = 0; at < count; at++) show.way.push([scene, first + at * step]);
  }
  return show;
}

// Replaces pictures of the build by newer ones; the rest of the page says that it is older. Returns, for each scene, the frames
// that look different now.
async function redrawn(show, draft) {
  const fresh = new Map();
  for (const { scene, frames } of draft.scenes) fresh.set(scene, pictures(await inflated(frames), 0, show.scenes[scene].count, show));
  const changed = show.scenes.map((scene, number) => {
    const before = scene.frames;
    scene.frames = fresh.get(number) || scene.built;
    return new Set(scene.frames.flatMap((picture, frame) => (picture.some((byte, at) => byte !== before[frame][at]) ? [frame] : [])));
  });
  document.body.dataset.draft = draft.draft;
  return changed;
}

// The preview of one build: its place, its course, its controls.
function begin(show, kept) {
  const canvas = find("display"), scrub = find("scrub"), place = find("place"), play = find("play"), cueSaid = find("cue");
  const way = show.way, choices = KEPT.filter(find);
  let at = 0, live = null, playing = false, due = 0, trueSize = false;
  const me = { keys, kept: () => ({ place: placeNow(), playing, trueSize, set, shortcuts: find("shortcuts").checked, ...Object.fromEntries(choices.map((id) => [id, find(id).value])) }) };

  // The live values as the sliders set them; `null` for values at their samples.
  const set = show.live.map(() => null);
  let turned = 0;

  // The step of a live value of a scene: as it is set, or that of its samples.
  function stepOf(sliders, index, frame) {
    const value = sliders.values[index][0], { from, factor } = show.live[value];
    return set[value] === null ? sliders.samples[index][frame] : Math.floor(((set[value] - from) * factor + 32768) / 65536);
  }

  // A frame of a scene with the values that are set.
  function pictureOf(scene, frame) {
    const { frames, sliders } = show.scenes[scene];
    if (!sliders || sliders.values.every(([value]) => set[value] === null)) return frames[frame];
    const picture = sliders.lowest[frame].slice(), size = picture.length;
    let first = sliders.every_frame ? frame * sliders.steps : 0;
    sliders.values.forEach(([, steps], index) => {
      const step = stepOf(sliders, index, frame);
      if (step > 0) for (let byte = 0; byte < size; byte++) picture[byte] ^= sliders.changes[(first + step - 1) * size + byte];
      first += steps;
    });
    return picture;
  }
  const sliderOf = (value) => document.querySelector(`input.live[data-live="${value}"]`);
  function turn(value, to) {
    turned = value;
    set[value] = to;
    document.querySelector(`.live-said[data-live="${value}"]`).textContent = to === null ? "sample" : String(to);
    draw();
  }
  // The last used value changes up or down by a twentieth of its range.
  function nudge(direction) {
    const slider = sliderOf(turned), [low, high] = [Number(slider.min), Number(slider.max)];
    const by = Math.max(1, Math.round((high - low) / 20)), to = Number(slider.value) + direction * by;
    slider.value = Math.max(low, Math.min(high, to));
    turn(turned, Number(slider.value));
  }

  const now = () => (live ? [live.scene, live.frame] : way[at]);
  const placeNow = () => ({ at, scene: show.scenes[now()[0]].name, frame: now()[1] });

  // Finds the picture of an earlier build in this preview: the nearest frame of a scene with the same name.
  function placeOf(old) {
    let best = Math.min(old.at, way.length - 1), least = Infinity;
    way.forEach(([scene, frame], index) => {
      const far = Math.abs(frame - old.frame) * 1000 + Math.abs(index - old.at) / way.length;
      if (show.scenes[scene].name === old.scene && far < least) [best, least] = [index, far];
    });
    return best;
  }

  // Finds a frame that shows what a person draws: the current one if it changed, else the nearest of its scene, else the middle of
  // another scene.
  function where(changed) {
    const all = way.flatMap(([scene, frame], index) => (changed[scene].has(frame) ? [index] : []));
    if (!all.length) return at;
    const of = (scene) => all.filter((index) => way[index][0] === scene), here = of(way[at][0]), there = of(way[all[0]][0]);
    if (!here.length) return there[Math.floor(there.length / 2)];
    return here.reduce((best, index) => (Math.abs(index - at) < Math.abs(best - at) ? index : best));
  }

  // How many milliseconds the current frame is late on the chip.
  const lateNow = () => (live ? show.scenes[live.scene].lateAt.get(live.frame) : show.lateAt.get(at)) || 0;

  function lightOf(scene, frame) {
    const { sliders } = show.scenes[scene], at = frame;
    for (const [count, light] of show.scenes[scene].light) {
      if (frame < count) return light >= 0 && sliders && sliders.light ? sliders.light[1][stepOf(sliders, sliders.light[0], at)] : light;
      frame -= count;
    }
    return -1;
  }

  function draw() {
    const [scene, frame] = now(), light = lightOf(scene, frame);
    const look = show.displays.find((one) => one.value === find("look").value) || show.displays[0];
    const size = { times: Number(find("size").value), room: find("preview").clientWidth, millimetre: trueSize ? Number(find("density").value) / 25.4 / devicePixelRatio : 0 };
    const sight = { day: find("light").value === "day", hours: find("age") ? Number(find("age").value) : 0 }, picture = pictureOf(scene, frame);
    Display.draw(canvas, show, picture, light, look, sight, size);
    if (board) board.mirrored((mirror) => Display.draw(mirror, show, picture, light, look, sight, { times: 0, room: Math.min(420, mirror.parentElement.clientWidth), millimetre: 0 }));
    find("true-size").setAttribute("aria-pressed", String(trueSize));
    [find("bank-card").style.width, find("bank-card").style.height] = CARD.map((side) => `${(side * Number(find("density").value)) / 25.4 / devicePixelRatio}px`);
    tell(scene, frame, light);
  }

  function tell(scene, frame, light) {
    const seconds = (live ? live.count : at) / show.frames_a_second, { name, count, cues } = show.scenes[scene];
    const shown = light < 0 ? "off" : `contrast ${light}`;
    const late = lateNow() ? `, ${Math.round(lateNow())} ms late` : "";
    const words = `${live ? "Live: " : ""}${name}, frame ${frame + 1} of ${count}, ${seconds.toFixed(2)} s, ${shown}${late}`;
    place.textContent = words;
    scrub.value = at;
    scrub.setAttribute("aria-valuetext", words);
    if (find("scene-said").textContent !== name) find("scene-said").textContent = name;
    const missing = show.live.length && set.some((value) => value !== null) && !show.scenes[scene].sliders;
    if (show.live.length) find("live-here").textContent = missing ? `scene ${name} shows its samples` : "";
    const handed = cues.filter((mark) => mark[0] === frame).map((mark) => show.cues[mark[1]]);
    if (handed.length) cueSaid.textContent = `♪ ${handed.join(", ")}`;
    for (const button of document.querySelectorAll(".timeline .scene")) {
      const from = Number(button.dataset.frame), here = at >= from && at < Number(button.dataset.end);
      if (here) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
    }
    for (const plot of document.querySelectorAll("svg.plot")) {
      const line = plot.querySelector(".now"), left = Number(plot.dataset.left), width = Number(plot.dataset.width);
      const x = left + ((at + 0.5) / way.length) * (width - left);
      line.setAttribute("x1", x);
      line.setAttribute("x2", x);
    }
  }

  // The course of the show, by the same rules as in the player.
  function enter(scene) {
    live.scene = scene;
    live.frame = 0;
  }
  function step() {
    if (!live) {
      at = (at + 1) % way.length;
      return;
    }
    live.past.push({ scene: live.scene, frame: live.frame, former: live.former, count: live.count });
    live.count += 1;
    const scene = show.scenes[live.scene];
    if (live.frame + 1 < scene.count) live.frame += 1;
    else if (scene.then === REPEAT) live.frame = 0;
    else if (scene.then === BACK) enter(live.former);
    else if (scene.then !== HOLD) enter(scene.then);
    at = placeOf({ ...placeNow(), at });
  }
  // Steps one frame forward or back, in the live play if it is running, else in the tour.
  function one(onward) {
    if (!live) return still(at + onward);
    run(false);
    if (onward > 0) step();
    else if (live.past.length) {
      Object.assign(live, live.past.pop());
      at = placeOf({ ...placeNow(), at });
    }
    draw();
  }
  function raise(trigger) {
    if (!live) live = { scene: way[at][0], frame: way[at][1], former: former(), count: 0, past: [] };
    const target = show.scenes[live.scene].reactions[trigger];
    if (target === undefined || target === IGNORE) {
      cueSaid.textContent = `${show.triggers[trigger]}: ignored in scene ${show.scenes[live.scene].name}`;
    } else {
      const next = target === BACK ? live.former : target;
      if (next !== live.scene) live.former = live.scene;
      cueSaid.textContent = `${show.triggers[trigger]}: goes to scene ${show.scenes[next].name}`;
      enter(next);
      live.past = [];
      at = placeOf({ ...placeNow(), at });
    }
    // Only the button that warns of flashes can start a show that flashes too much.
    if (!show.paused) run(true);
    draw();
  }
  function former() {
    for (let frame = at; frame >= 0; frame--) if (way[frame][0] !== way[at][0]) return way[frame][0];
    return show.start;
  }

  function run(wanted) {
    playing = wanted;
    play.textContent = playing ? "Pause" : "Play";
    if (board) board.played(playing);
    if (playing) {
      due = performance.now();
      requestAnimationFrame(tick);
    }
  }
  function tick(time) {
    if (!playing || bench !== me) return;
    const period = 1000 / show.frames_a_second / Number(find("speed").value);
    if (time - due > 10 * period) due = time - period;
    let moved = false;
    // A late frame is as late as on the chip. The frames after it catch up.
    while (time - due >= period) {
      const before = lateNow();
      due += period;
      step();
      due += (lateNow() - before) / Number(find("speed").value);
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
    if (!find("shortcuts").checked) return;
    const field = event.target.closest("input, select, button, a, summary, [tabindex]");
    // A focused button uses the space bar itself. Other fields use all keys except digits.
    const left = field && (field.matches("button") ? /^[ ]$|Enter/ : /[^0-9]/).test(event.key);
    if (left || (field && field.type === "number")) return;
    const act = {
      " ": () => run(!playing), ArrowLeft: () => one(-1), ArrowRight: () => one(1),
      Home: () => still(0), End: () => still(way.length - 1), 0: () => go(at),
    }[event.key];
    const up = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    if (act) act();
    else if (up && show.live.length) nudge(up);
    else if (/^[1-9]$/.test(event.key) && Number(event.key) <= show.triggers.length) raise(Number(event.key) - 1);
    else return;
    event.preventDefault();
  }

  const press = (id, act) => find(id).addEventListener("click", act);
  press("play", () => run(!playing));
  press("back", () => one(-1));
  press("on", () => one(1));
  press("tour", () => go(at));
  press("true-size", () => {
    trueSize = !trueSize;
    draw();
  });
  find("size").addEventListener("input", () => (trueSize = false));
  scrub.addEventListener("input", () => still(Number(scrub.value)));
  for (const slider of document.querySelectorAll("input.live")) slider.addEventListener("input", () => turn(Number(slider.dataset.live), Number(slider.value)));
  if (show.live.length) press("samples", () => show.live.forEach((_, value) => turn(value, null)));
  (kept.set || []).forEach((to, value) => {
    if (to === null || !sliderOf(value)) return;
    sliderOf(value).value = to;
    turn(value, Number(sliderOf(value).value));
  });
  for (const button of document.querySelectorAll(".trigger")) button.addEventListener("click", (event) => {
      raise(Number(button.dataset.trigger));
      // After a click, the space bar pauses. With the keyboard, the button keeps the focus.
      if (event.detail) button.blur();
    });
  for (const button of document.querySelectorAll(".timeline .scene")) button.addEventListener("click", () => still(Number(button.dataset.frame)));
  for (const id of choices) {
    if (kept[id]) find(id).value = kept[id];
    find(id).addEventListener("input", draw);
  }
  if (kept.place) at = placeOf(kept.place);
  trueSize = Boolean(kept.trueSize);
  if (kept.shortcuts === false) find("shortcuts").checked = false;
  const hash = /frame=(\d+)/.exec(location.hash);
  if (hash && !kept.place) at = Math.min(Number(hash[1]), way.length - 1);
  me.draw = draw;
  me.redraw = async (draft) => {
    const changed = await redrawn(show, draft);
    if (document.body.dataset.view === "board" && !playing && !live) at = where(changed);
    draw();
  };
  me.tones = () => (show.displays.find((one) => one.value === find("look").value) || show.displays[0])[find("light").value === "day" ? "day" : "night"];
  me.scenes = show.scenes.map((scene) => scene.name);
  me.now = () => show.scenes[now()[0]].name;
  // The middle of a scene in the preview, where most of it is drawn.
  me.visit = (name) => {
    const frames = way.flatMap(([scene], index) => (show.scenes[scene].name === name ? [index] : []));
    if (frames.length) still(frames[Math.floor(frames.length / 2)]);
  };
  me.fresh = () => !live && at === 0 && !playing;
  me.play = () => run(!playing);
  me.playing = () => playing;
  bench = me;
  draw();
  if (kept.playing && !show.paused && !matchMedia("(prefers-reduced-motion: reduce)").matches) run(true);
}

// The pictures at the end of a page that are newer than its build. Without them, the build is shown.
async function withDraft(page, show) {
  const holder = page.getElementById("draft");
  delete document.body.dataset.draft;
  if (holder && show) await redrawn(show, JSON.parse(holder.textContent));
  return show;
}

// Shows the page of a later build. The current frame and the focus do not change.
async function renew(text) {
  const next = new DOMParser().parseFromString(text, "text/html");
  const holder = next.getElementById("data"), show = holder && (await withDraft(next, await unpacked(holder)));
  const kept = bench ? bench.kept() : {}, focused = document.activeElement && document.activeElement.id;
  bench = null;
  document.title = next.title;
  for (const part of ["header", "main"]) document.querySelector(part).replaceWith(document.adoptNode(next.querySelector(part)));
  if (show) begin(show, kept);
  if (board) board.desk.show();
  if (focused && find(focused)) find(focused).focus({ preventScroll: true });
  for (const part of ["build", "token"]) document.body.dataset[part] = next.body.dataset[part];
}

async function follow() {
  for (;;) {
    try {
      const { build, draft = 0 } = document.body.dataset, answer = await fetch(`/next?after=${build}&draft=${draft}`);
      const isDraft = answer.headers.get("content-type") === "application/json";
      if (answer.status === 200 && isDraft) await bench.redraw(await answer.json());
      else if (answer.status === 200) await renew(await answer.text());
      find("lost").hidden = true;
    } catch {
      find("lost").hidden = false;
      await new Promise((resolve) => setTimeout(resolve, 1000));
    }
  }
}

(async () => {
  document.addEventListener("keydown", (event) => bench && bench.keys(event));
  addEventListener("resize", () => bench && bench.draw());
  const live = document.body.dataset.build !== undefined;
  if (live) addEventListener("pagehide", () => bench && sessionStorage.setItem("pageloom", JSON.stringify(bench.kept())));
  if (find("data")) begin(await withDraft(document, await unpacked(find("data"))), live ? JSON.parse(sessionStorage.getItem("pageloom") || "{}") : {});
  if (live) (board = Board).start();
  document.body.dataset.ready = "yes";
  if (live) follow();
})();
