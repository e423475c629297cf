// A part of the cell: a frame around pixels that moves with its ink. The pixels below it come back when it moves on.
const Part = (() => {
  let on = false, frame = null, anchor = null, carried = null, held = null;
  const axes = [0, 1];
  const beyond = (rows, [x, y]) => !rows[y] || rows[y][x] === undefined;
  const lit = (rows, at) => Glyphs.lit(rows, ...at);
  const holds = (at) => frame !== null && axes.every((axis) => at[axis] >= frame[axis] && at[axis] <= frame[axis + 2]);

  function drop() {
    [frame, anchor, carried, held] = [null, null, null, null];
  }
  function turn() {
    on = !on;
    drop();
  }
  // Selects everything between two corners, including the corners.
  function choose(from, to) {
    [anchor, carried] = [from, null];
    frame = [Math.min, Math.max].flatMap((side) => axes.map((axis) => side(from[axis], to[axis])));
  }
  const stretch = (to) => choose(anchor || to, to);
  const words = () => `Part: columns ${frame[0] + 1} to ${frame[2] + 1}, rows ${frame[1] + 1} to ${frame[3] + 1}`;

  function ink(rows) {
    const found = [];
    rows.forEach((row, y) => [...row].forEach((dot, x) => dot === "#" && holds([x, y]) && found.push([x, y])));
    return found;
  }
  // The rows with the part moved by columns and rows. A part of it always stays in the cell.
  function moved(rows, way) {
    const size = [rows[0].length, rows.length], dots = rows.map((row) => [...row]);
    const by = axes.map((axis) => Math.max(-frame[axis + 2], Math.min(size[axis] - 1 - frame[axis], way[axis])));
    // Ink that was changed meanwhile is selected again.
    if (!carried || !carried.ink.every((at) => beyond(rows, at) || lit(rows, at))) carried = { ink: ink(rows), under: new Set() };
    for (const [x, y] of carried.ink) if (!beyond(rows, [x, y]) && !carried.under.has(`${x},${y}`)) dots[y][x] = ".";
    const fresh = carried.ink.map((at) => axes.map((axis) => at[axis] + by[axis])), seen = fresh.filter((at) => !beyond(rows, at));
    carried = { ink: fresh, under: new Set(seen.filter(([x, y]) => dots[y][x] === "#").map(String)) };
    for (const [x, y] of seen) dots[y][x] = "#";
    frame = frame.map((at, side) => at + by[side % 2]);
    anchor = axes.map((axis) => anchor[axis] + by[axis]);
    return dots.map((row) => row.join(""));
  }

  // A pointer that goes down on the part moves it; outside of it, it selects another part.
  function grab(at) {
    held = holds(at) ? at : null;
    if (!held) choose(at, at);
  }
  function drag(at, desk) {
    const size = desk.sheet().cell;
    if (!held) stretch(axes.map((axis) => Math.max(0, Math.min(size[axis] - 1, at[axis]))));
    else {
      const before = frame;
      desk.redraw((rows) => moved(rows, axes.map((axis) => at[axis] - held[axis])));
      held = axes.map((axis) => held[axis] + frame[axis] - before[axis]);
    }
    desk.say(words());
    desk.show();
  }
  return { on: () => on, frame: () => frame, turn, drop, choose, stretch, words, moved, grab, drag };
})();
