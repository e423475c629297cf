// The large cell to draw on: pixels, its neighbours in a word, and lines for advance, baseline and kerning that can be dragged.
function Easel(canvas, desk) {
  const AROUND = 7, MOST = 40, LEAST = 5, HANDLE = 12, TOP = 26, LETTERS = "600 11px system-ui, sans-serif";
  const paper = canvas.getContext("2d");
  let view = null, grip = null, pen = null, part = false;

  const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

  // Columns to the left and right of the cell for the neighbours, and page pixels for one pixel of the cell.
  function measured(sheet, cell) {
    const context = desk.neighbours(sheet, cell), [width, height] = sheet.cell;
    const room = canvas.parentElement.clientWidth, around = sheet.font ? Math.min(AROUND, width + 2) : 1;
    const high = Math.max(160, Math.min(440, innerHeight * 0.55) - TOP);
    const pitch = Math.max(LEAST, Math.min(MOST, Math.floor(room / (width + 2 * around)), Math.floor(high / (height + 2))));
    const far = Math.max(1, Math.min(around, Math.floor((room / pitch - width) / 2)));
    const top = sheet.font ? TOP + pitch : pitch, below = sheet.font ? TOP : 0;
    return { ...context, sheet, cell, pitch, far, left: far * pitch, top, width: (width + 2 * far) * pitch, height: top + (height + 1) * pitch + below };
  }

  function fill(name, x, y, wide, high, share = 1) {
    paper.globalAlpha = share;
    paper.fillStyle = colour(name);
    paper.fillRect(x, y, wide, high);
    paper.globalAlpha = 1;
  }
  // A pixel of the cell by its column and row, which can be outside of the cell.
  function dot(x, y, name, share) {
    const { pitch, left, top, far, sheet } = view;
    if (x < -far || x >= sheet.cell[0] + far || y < -1 || y > sheet.cell[1]) return;
    fill(name, left + x * pitch, top + y * pitch, pitch, pitch, share);
  }
  function rule(name, from, to, dashes = []) {
    paper.strokeStyle = colour(name);
    paper.lineWidth = 2;
    paper.setLineDash(dashes);
    paper.beginPath();
    paper.moveTo(...from);
    paper.lineTo(...to);
    paper.stroke();
    paper.setLineDash([]);
  }
  // A handle with a word on it, centred or from its left edge on, always inside the canvas.
  function tab(name, x, y, word, middle) {
    paper.font = LETTERS;
    const wide = paper.measureText(word).width + 12, left = Math.max(0, Math.min(view.width - wide, middle ? x - wide / 2 : x));
    paper.fillStyle = colour(name);
    paper.beginPath();
    paper.roundRect(left, y - 9, wide, 18, 5);
    paper.fill();
    paper.fillStyle = colour("paper");
    paper.textBaseline = "middle";
    paper.fillText(word, left + 6, y + 0.5);
    return [left, left + wide];
  }

  function cells() {
    const { sheet, cell, pitch, left, top, onion } = view, [width, height] = sheet.cell;
    fill("panel", 0, 0, view.width, view.height);
    fill("paper", left, top, width * pitch, height * pitch);
    if (onion) onion.forEach((row, y) => [...row].forEach((lit, x) => lit === "#" && dot(x, y, "plot", 0.28)));
    for (const other of view.beside) for (const [x, y] of other.pixels) dot(x, y, "ink", 0.3);
    cell.rows.forEach((row, y) => [...row].forEach((lit, x) => lit === "#" && dot(x, y, "ink")));
    if (pitch >= 6) {
      for (let x = 0; x <= width; x++) fill("line", left + x * pitch, top, 1, height * pitch, 0.45);
      for (let y = 0; y <= height; y++) fill("line", left, top + y * pitch, width * pitch + 1, 1, 0.45);
    }
    paper.lineWidth = 1;
    paper.strokeStyle = colour("line");
    paper.strokeRect(left - 0.5, top - 0.5, width * pitch + 2, height * pitch + 2);
  }

  // The lines that can be dragged: their places, what they change, and the places of their handles, which are known after drawing.
  function lines() {
    const { sheet, pitch, left, top } = view, font = sheet.font;
    if (!font) return [];
    const x = (column) => left + column * pitch, found = [];
    found.push({ name: "baseline", along: 1, at: top + font.baseline * pitch, tone: "plot" });
    found.push({ name: "advance", along: 0, at: x(view.pen + view.advance), tone: "limit" });
    if (view.next) found.push({ name: "kerning", along: 0, at: x(view.next.x), tone: "faint" });
    return found;
  }
  function drawLines() {
    const { sheet, pitch, top } = view, font = sheet.font;
    view.lines = lines();
    if (!font) return;
    const cap = top + (font.baseline - font.capHeight) * pitch;
    rule("plot", [0, cap], [view.width, cap], [3, 4]);
    for (const line of view.lines) {
      if (line.name === "baseline") {
        rule(line.tone, [0, line.at], [view.width, line.at]);
        line.handle = [...tab(line.tone, 0, line.at, "baseline"), line.at - 9, line.at + 9];
      } else if (line.name === "advance") {
        rule(line.tone, [line.at, TOP - 8], [line.at, view.height - TOP]);
        line.handle = [...tab(line.tone, line.at, 10, "advance", true), 1, 19];
      } else {
        rule(line.tone, [line.at, view.height - TOP - 4], [line.at, view.height - 10]);
        line.handle = [...tab(line.tone, line.at, view.height - 10, "kerning", true), view.height - 19, view.height - 1];
      }
    }
  }
  function cursor() {
    if (document.activeElement !== canvas) return;
    const { pitch, left, top } = view, [x, y] = desk.cursor;
    paper.lineWidth = 3;
    paper.strokeStyle = colour("plot");
    paper.strokeRect(left + x * pitch + 1.5, top + y * pitch + 1.5, pitch - 2, pitch - 2);
  }

  function chosen() {
    const frame = Part.frame(), { pitch, left, top } = view;
    if (!frame) return;
    paper.lineWidth = 2;
    paper.strokeStyle = colour("limit");
    paper.setLineDash([6, 4]);
    paper.strokeRect(left + frame[0] * pitch, top + frame[1] * pitch, (frame[2] - frame[0] + 1) * pitch, (frame[3] - frame[1] + 1) * pitch);
    paper.setLineDash([]);
  }

  function show(sheet, cell) {
    view = measured(sheet, cell);
    const ratio = devicePixelRatio || 1;
    [canvas.width, canvas.height] = [view.width * ratio, view.height * ratio];
    [canvas.style.width, canvas.style.height] = [`${view.width}px`, `${view.height}px`];
    canvas.dataset.places = `${view.left} ${view.top} ${view.pitch}`;
    paper.setTransform(ratio, 0, 0, ratio, 0, 0);
    cells();
    drawLines();
    chosen();
    cursor();
  }

  // The column and row under a pointer.
  function place(event) {
    const box = canvas.getBoundingClientRect();
    return [[event.clientX - box.left, view.left], [event.clientY - box.top, view.top]].map(([at, from]) => Math.floor((at - from) / view.pitch));
  }
  const inside = ([x, y]) => x >= 0 && y >= 0 && x < view.sheet.cell[0] && y < view.sheet.cell[1];
  // The line whose handle is under a pointer, and how far the pointer is from the line.
  function gripped(event) {
    const box = canvas.getBoundingClientRect(), at = [event.clientX - box.left, event.clientY - box.top], slip = 6;
    const near = ({ handle: [left, right, top, bottom] }) => at[0] >= left - slip && at[0] <= right + slip && at[1] >= top - slip && at[1] <= bottom + slip;
    const line = view.lines.find(near);
    return line ? { name: line.name, along: line.along, off: at[line.along] - line.at } : null;
  }
  // The column or row of the cell to which a line is dragged.
  function dragged(event) {
    const box = canvas.getBoundingClientRect(), at = [event.clientX - box.left - view.left, event.clientY - box.top - view.top][grip.along];
    return Math.round((at - grip.off) / view.pitch);
  }

  // All pixels from one to another, so that a quick movement leaves no gaps.
  function between([x, y], [toX, toY]) {
    const steps = Math.max(Math.abs(toX - x), Math.abs(toY - y), 1);
    return [...Array(steps + 1).keys()].map((step) => [x + Math.round(((toX - x) * step) / steps), y + Math.round(((toY - y) * step) / steps)]);
  }
  function stroke(to) {
    desk.paint(between(pen.at, to).filter(inside), pen.on);
    pen.at = to;
  }

  canvas.addEventListener("pointerdown", (event) => {
    if (!view || event.button !== 0) return;
    canvas.focus({ preventScroll: true });
    const at = place(event);
    grip = inside(at) ? null : gripped(event);
    if (!grip && !inside(at)) return;
    try {
      canvas.setPointerCapture(event.pointerId);
    } catch {
      // A pointer that is gone already needs no capture.
    }
    Store.begin();
    part = !grip && Part.on();
    if (part) {
      desk.cursor = at;
      Part.grab(at);
      desk.show();
    } else if (!grip) {
      pen = { at, on: !Glyphs.lit(view.cell.rows, ...at) };
      desk.cursor = at;
      stroke(at);
    }
    event.preventDefault();
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!view) return;
    if (part) Part.drag(place(event), desk);
    else if (pen) stroke(place(event));
    else if (grip) desk.drag(grip.name, dragged(event), view);
    else canvas.style.cursor = !inside(place(event)) && gripped(event) ? "grab" : "crosshair";
  });
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => ([pen, grip, part] = [null, null, false]));
  for (const change of ["focus", "blur"]) canvas.addEventListener(change, () => desk.show());
  return { show };
}
