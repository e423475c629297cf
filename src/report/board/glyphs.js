// Sets glyphs and lines of text by the same rules as the program, so that a changed pixel shows at once.
const Glyphs = (() => {
  const NAME = /^\{([a-z][a-z0-9-]+)\}/;

  // What a text is made of: characters and names; `{name}` is an icon, `{{` a brace.
  function symbols(text) {
    const found = [];
    let rest = text;
    while (rest) {
      const named = NAME.exec(rest), first = String.fromCodePoint(rest.codePointAt(0));
      const length = rest.startsWith("{{") ? 2 : named ? named[0].length : first.length;
      found.push(!rest.startsWith("{{") && named ? named[1] : first);
      rest = rest.slice(length);
    }
    return found;
  }
  // A symbol as a text writes it.
  const written = (symbol) => (symbol === "{" ? "{{" : [...symbol].length > 1 ? `{${symbol}}` : symbol);
  const lit = (rows, x, y) => rows[y] !== undefined && rows[y][x] === "#";

  // The first and the last column with ink; `null` when there is none.
  function extent(rows) {
    let first = Infinity, last = -1;
    for (const row of rows) {
      if (!row.includes("#")) continue;
      first = Math.min(first, row.indexOf("#"));
      last = Math.max(last, row.lastIndexOf("#"));
    }
    return last < 0 ? null : [first, last];
  }

  // The pen of a cell and its advance: its own, a shared one, up to a mark, or the width of the ink.
  function measures(font, cell) {
    const own = font.advances[cell.symbol], ink = extent(cell.rows);
    if (own !== undefined || font.kind === "mono") return { pen: font.pen, advance: own === undefined ? font.mono : own };
    if (cell.mark !== null) return { pen: font.pen, advance: cell.mark + 1 - font.pen + font.tracking };
    return { pen: ink ? ink[0] : 0, advance: (ink ? ink[1] - ink[0] + 1 : 0) + font.tracking };
  }

  const drawn = (cell) => cell.mark !== null || cell.rows.some((row) => row.includes("#"));

  // The glyph that shows a symbol: its own, its alias's, the capital's; `null` when there is none.
  function glyph(sheet, symbol) {
    const font = sheet.font, known = (one) => {
      const cell = sheet.bySymbol.get(one);
      if (cell && drawn(cell)) return { symbol: one, rows: cell.rows, down: font.rise, ...measures(font, cell) };
      const lent = font.lent.get(one);
      return lent ? { symbol: one, rows: lent.rows, down: 0, pen: -lent.left, advance: lent.advance } : null;
    };
    const blank = { symbol: " ", rows: [], down: 0, pen: 0, advance: font.space };
    const found = known(symbol) || (font.aliases[symbol] && known(font.aliases[symbol]));
    if (found) return found;
    if (symbol === " " || symbol === "\u00a0") return known(" ") || blank;
    const capital = symbol.toUpperCase();
    return font.capitals && [...symbol].length === 1 && [...capital].length === 1 ? known(capital) : null;
  }

  // Empty columns after each glyph. They are not counted at the end of a line.
  const gap = ({ font, cell }) => (font.kind === "mono" ? Math.max(0, font.mono - cell[0]) : font.tracking);

  // The frame that is shown for a missing glyph.
  function missing(sheet) {
    const { baseline, capHeight, kind, mono, advances } = sheet.font, width = Math.min(3, sheet.cell[0]);
    const top = baseline - Math.max(1, capHeight), rows = [];
    for (let y = 0; y < baseline; y++) {
      const end = y === top || y === baseline - 1;
      rows.push(y < top ? "" : [...Array(width).keys()].map((x) => (end || x === 0 || x === width - 1 ? "#" : ".")).join(""));
    }
    return { symbol: null, rows, down: sheet.font.rise, pen: 0, advance: kind === "mono" && !Object.keys(advances).length ? mono : width + gap(sheet) };
  }

  const kerning = (font, first, second) => font.kerning[written(first) + written(second)] || 0;

  // A set line: its glyphs with the place of the pen, and its width.
  function layout(sheet, text) {
    const sets = [];
    let pen = 0, before = null, ink = 0;
    for (const symbol of symbols(text)) {
      if (symbol === "\n" || symbol === "\r") continue;
      const found = glyph(sheet, symbol), shown = found || missing(sheet), wide = extent(shown.rows);
      if (before && found) pen += kerning(sheet.font, before.symbol, found.symbol);
      sets.push({ symbol, glyph: shown, x: pen, missing: !found });
      ink = Math.max(ink, pen + (wide ? wide[1] + 1 - shown.pen : 0));
      pen += shown.advance;
      before = found;
    }
    return { sets, width: sets.length ? Math.max(ink, pen - gap(sheet)) : 0 };
  }

  // Every lit pixel of a set line.
  function pixels(line) {
    return line.sets.flatMap(({ glyph, x }) =>
      glyph.rows.flatMap((row, y) => [...row].flatMap((dot, column) => (dot === "#" ? [[x + column - glyph.pen, y + glyph.down]] : []))));
  }

  // The pixels in which two cells differ, pen on pen, as columns of the first one.
  function differing(font, one, other) {
    const shift = measures(font, one).pen - measures(font, other).pen, found = [];
    const width = Math.max(...[one, other].map((cell) => (cell.rows[0] || "").length)) + Math.abs(shift);
    for (let y = 0; y < one.rows.length; y++) {
      for (let x = -width; x < width; x++) if (lit(one.rows, x, y) !== lit(other.rows, x - shift, y)) found.push([x, y]);
    }
    return found;
  }

  // The cells that look most like one: letters and digits with letters and digits, else anything.
  function lookAlikes(sheet, cell, count) {
    const alone = (one) => /^[\p{L}\p{N}]$/u.test(one.symbol);
    if (!drawn(cell)) return [];
    const others = sheet.cells.filter((other) => other !== cell && drawn(other) && (!alone(cell) || alone(other)));
    const compared = others.map((other) => ({ other, pixels: differing(sheet.font, cell, other) }));
    return compared.sort((a, b) => a.pixels.length - b.pixels.length).slice(0, count);
  }

  return { symbols, written, lit, extent, measures, drawn, glyph, layout, pixels, kerning, differing, lookAlikes };
})();
