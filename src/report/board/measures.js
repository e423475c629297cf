// The numbers of a glyph and of its font, as fields beside the lines that can be dragged.
const Measures = (() => {
  const FIELDS = ["baseline", "capHeight", "tracking", "space"];
  let desk = null, act = null;

  // What changes a number, for the cell that is on the board.
  function action(name, value) {
    const sheet = desk.sheet(), cell = desk.cell(sheet), { next } = desk.neighbours(sheet, cell);
    if (name === "kerning") return next && { kern: { first: cell.symbol, second: next.symbol, value } };
    if (name === "shared") return { field: { field: "advance", value } };
    if (name !== "advance") return { field: { field: name, value } };
    if (sheet.font.kind === "marked" && sheet.font.advances[cell.symbol] === undefined) {
      const column = value - sheet.font.tracking + sheet.font.pen - 1;
      return column >= 0 && column < sheet.cell[0] ? { mark: { cell: cell.at, column } } : null;
    }
    return { advance: { symbol: cell.symbol, value } };
  }
  function set(name, value) {
    const sheet = desk.sheet(), one = !sheet.locked && action(name, value);
    if (one && now(sheet, name) !== value) act(one);
  }
  function now(sheet, name) {
    const cell = desk.cell(sheet), { next, advance } = desk.neighbours(sheet, cell);
    if (name === "kerning") return next ? Glyphs.kerning(sheet.font, cell.symbol, next.symbol) : 0;
    return name === "advance" ? advance : name === "shared" ? sheet.font.mono : sheet.font[name];
  }

  function put(id, value) {
    const field = find(id);
    if (document.activeElement !== field || Number(field.value) !== value) field.value = value;
  }
  function show(sheet, cell, { next, advance }) {
    const font = sheet.font, own = font.advances[cell.symbol] !== undefined;
    put("m-advance", advance);
    find("own-advance").hidden = !own;
    find("m-kerning").closest("label").hidden = !next;
    if (next) {
      find("kerning-with").textContent = `Kerning before ${next.symbol}`;
      put("m-kerning", Glyphs.kerning(font, cell.symbol, next.symbol));
    }
    find("m-shared").closest("label").hidden = font.kind !== "mono";
    find("m-tracking").closest("label").hidden = font.kind === "mono";
    put("m-shared", font.mono);
    for (const name of FIELDS) put(`m-${name}`, font[name]);
  }

  function attend(theDesk, doAction) {
    [desk, act] = [theDesk, doAction];
    for (const name of ["advance", "kerning", "shared", ...FIELDS]) {
      find(`m-${name}`).addEventListener("input", (event) => {
        const value = event.target.valueAsNumber;
        if (!Number.isInteger(value)) return;
        Store.begin();
        set(name, value);
      });
    }
    find("own-advance").addEventListener("click", () => {
      Store.begin();
      act({ advance: { symbol: desk.cell(desk.sheet()).symbol, value: null } });
    });
  }
  return { attend, show, set };
})();
