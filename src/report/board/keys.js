// The keyboard on the large cell, and what is read out of it.
const Keys = (() => {
  const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  const TOOLS = { m: "mirror", f: "flip", i: "invert", Delete: "clear", Backspace: "clear" };

  const dot = (lit) => (lit ? "on" : "off");
  // A glyph in words, row by row.
  const rows = (cell) => cell.rows.map((row, y) => `Row ${y + 1}: ${[...row].map((one) => dot(one === "#")).join(" ")}.`).join(" ");
  const place = (cell, [x, y]) => `Column ${x + 1}, row ${y + 1}: ${dot(Glyphs.lit(cell.rows, x, y))}`;

  function attend(canvas, desk) {
    canvas.addEventListener("keydown", (event) => {
      const sheet = desk.sheet(), cell = desk.cell(sheet);
      if (!cell || event.altKey) return;
      const way = WAYS[event.key], letter = event.key.toLowerCase();
      if (event.ctrlKey || event.metaKey) {
        if (letter === "z") event.shiftKey ? Store.redo() : Store.undo();
        else if (letter === "y") Store.redo();
        else return;
      } else if (way && event.shiftKey) desk.tool("shift", way);
      else if (way) {
        desk.cursor = desk.cursor.map((at, axis) => (at + way[axis] + sheet.cell[axis]) % sheet.cell[axis]);
        if (Part.on()) Part.stretch(desk.cursor);
        desk.say(Part.frame() ? Part.words() : place(cell, desk.cursor));
        desk.show();
      } else if (letter === "s" || (event.key === "Escape" && Part.on())) desk.turnPart();
      else if (event.key === " " || event.key === "Enter") {
        Store.begin();
        desk.paint([desk.cursor], !Glyphs.lit(cell.rows, ...desk.cursor));
        desk.say(place(desk.cell(desk.sheet()), desk.cursor));
      } else if (event.key === "PageDown" || event.key === "PageUp") desk.turn(event.key === "PageDown" ? 1 : -1);
      else if (TOOLS[event.key]) desk.tool(TOOLS[event.key]);
      else return;
      event.preventDefault();
    });
  }
  return { attend, rows, place };
})();
