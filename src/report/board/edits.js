// Changes of a cell as pure functions from rows to rows, and what an action does to a sheet before the server has answered.
const Edits = (() => {
  const text = (rows) => rows.map((row) => row.join(""));
  const grid = (rows) => rows.map((row) => [...row]);
  const mirror = (rows) => rows.map((row) => [...row].reverse().join(""));
  const flip = (rows) => [...rows].reverse();
  const invert = (rows) => rows.map((row) => [...row].map((dot) => (dot === "#" ? "." : "#")).join(""));
  const clear = (rows) => rows.map((row) => ".".repeat(row.length));
  // Moves pixels by columns and rows. Those that leave the cell come back on the other side.
  function shift(rows, right, down) {
    const [width, height] = [rows[0].length, rows.length], moved = grid(clear(rows));
    grid(rows).forEach((row, y) => row.forEach((dot, x) => {
      moved[(y + down + height) % height][(x + right + width) % width] = dot;
    }));
    return text(moved);
  }
  // Puts other rows into the cell, from the same top left corner or on the same baseline.
  function copied(rows, from, down) {
    const fresh = grid(clear(rows));
    from.forEach((row, y) => [...row].forEach((dot, x) => {
      if (dot === "#" && fresh[y + down] && fresh[y + down][x]) fresh[y + down][x] = "#";
    }));
    return text(fresh);
  }

  // The pixels that turn one picture of a cell into another, as columns and rows of the whole sheet.
  function difference(sheet, cell, rows) {
    const set = [], off = [], [left, top] = corner(sheet, cell);
    rows.forEach((row, y) => [...row].forEach((dot, x) => {
      if (dot !== cell.rows[y][x]) (dot === "#" ? set : off).push([left + x, top + y]);
    }));
    return { draw: { set, clear: off } };
  }

  const corner = (sheet, cell) => [0, 1].map((way) => sheet.margin[way] + cell.at[way] * (sheet.cell[way] + sheet.spacing[way]));

  function draw(sheet, { set, clear: off }) {
    const marks = new Map([...set.map((at) => [String(at), "#"]), ...off.map((at) => [String(at), "."])]);
    for (const cell of sheet.cells) {
      const [left, top] = corner(sheet, cell);
      cell.rows = cell.rows.map((row, y) => [...row].map((dot, x) => marks.get(`${left + x},${top + y}`) || dot).join(""));
    }
  }

  // Applies an action to the page's own copy of a sheet.
  function apply(sheet, action) {
    const font = sheet.font;
    if (action.draw) draw(sheet, action.draw);
    else if (action.mark) for (const cell of sheet.cells.filter((one) => String(one.at) === String(action.mark.cell))) cell.mark = action.mark.column;
    else if (action.field) font[action.field.field === "advance" ? "mono" : action.field.field] = action.field.value;
    else if (action.kern) font.kerning[Glyphs.written(action.kern.first) + Glyphs.written(action.kern.second)] = action.kern.value;
    else if (action.advance && action.advance.value === null) delete font.advances[action.advance.symbol];
    else if (action.advance) font.advances[action.advance.symbol] = action.advance.value;
  }

  // Joins two drawings of one stroke. The later pixel is used.
  function joined(one, other) {
    const marks = new Map();
    for (const { set, clear: off } of [one.draw, other.draw]) {
      for (const [pixels, on] of [[set, true], [off, false]]) for (const at of pixels) marks.set(String(at), [at, on]);
    }
    const of = (wanted) => [...marks.values()].filter(([, on]) => on === wanted).map(([at]) => at);
    return { draw: { set: of(true), clear: of(false) } };
  }

  return { mirror, flip, invert, clear, shift, copied, difference, apply, joined };
})();
