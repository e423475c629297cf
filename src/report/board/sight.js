// How a glyph looks in use: the lines of the show in pixels of the display, and the most similar glyphs.
const Sight = (() => {
  const MOST_LINES = 12, LOOK_ALIKES = 3;

  // Draws pixels as the display's dots.
  function dots(canvas, width, height, pixels, tones, pitch) {
    const ratio = devicePixelRatio || 1, size = pitch * ratio, gap = pitch > 2 ? Math.max(1, Math.round(size / 5)) : 0;
    [canvas.width, canvas.height] = [Math.max(1, width) * size, height * size];
    [canvas.style.width, canvas.style.height] = [`${Math.max(1, width) * pitch}px`, `${height * pitch}px`];
    const paper = canvas.getContext("2d");
    paper.fillStyle = tones.ground;
    paper.fillRect(0, 0, canvas.width, canvas.height);
    for (const [x, y, name] of pixels) {
      paper.fillStyle = name ? tones[name] : tones.lit;
      paper.fillRect(x * size, y * size, size - gap, size - gap);
    }
  }
  const css = (colour) => `rgb(${colour.join(" ")})`;
  // The colours of the show's display, or those of the page.
  function tones() {
    const own = bench && bench.tones(), style = getComputedStyle(document.documentElement);
    const page = (name) => style.getPropertyValue(`--${name}`).trim();
    return own ? { lit: css(own.lit), ground: css(own.glass), accent: page("limit") } : { lit: page("ink"), ground: page("panel"), accent: page("limit") };
  }

  // The lines to show: those of the show, or the characters themselves; a line that is being tried comes first.
  function lines(sheet, tried) {
    const own = sheet.font.lines.length ? sheet.font.lines : sheet.cells.reduce((rows, cell, at) => {
      rows[Math.floor(at / 12)] = (rows[Math.floor(at / 12)] || "") + Glyphs.written(cell.symbol);
      return rows;
    }, []);
    return tried ? [tried, ...own] : own;
  }
  const uses = (line, symbol) => Glyphs.symbols(line).includes(symbol);

  function showLines(holder, sheet, cell, tried) {
    const all = lines(sheet, tried), first = all.filter((line) => line === tried || uses(line, cell.symbol));
    const shown = [...first, ...all.filter((line) => !first.includes(line))].slice(0, MOST_LINES), look = tones();
    while (holder.children.length > shown.length) holder.lastElementChild.remove();
    shown.forEach((text, number) => {
      const item = holder.children[number] || holder.appendChild(document.createElement("li"));
      const canvas = item.firstElementChild || item.appendChild(document.createElement("canvas"));
      const line = Glyphs.layout(sheet, text), room = holder.clientWidth || 300;
      const pitch = Math.max(1, Math.min(3, Math.floor(room / Math.max(1, line.width + 2))));
      const lacks = line.sets.filter((set) => set.missing).map((set) => set.symbol);
      canvas.setAttribute("role", "img");
      canvas.setAttribute("aria-label", `${text}, ${line.width} pixels wide${lacks.length ? `; not drawn: ${lacks.join(" ")}` : ""}`);
      canvas.title = canvas.getAttribute("aria-label");
      item.classList.toggle("uses", uses(text, cell.symbol));
      const pixels = Glyphs.pixels(line).map(([x, y]) => [x + 1, y + 1]);
      dots(canvas, line.width + 2, sheet.font.height + 2, pixels, look, pitch);
    });
  }

  function showLookAlikes(holder, sheet, cell) {
    const found = Glyphs.lookAlikes(sheet, cell, LOOK_ALIKES), look = tones();
    while (holder.children.length > found.length) holder.lastElementChild.remove();
    found.forEach(({ other, pixels }, number) => {
      const item = holder.children[number] || holder.appendChild(document.createElement("li"));
      if (!item.children.length) item.append(document.createElement("canvas"), document.createElement("span"));
      const marks = new Set(pixels.map(String)), shift = Glyphs.measures(sheet.font, cell).pen - Glyphs.measures(sheet.font, other).pen;
      const lit = other.rows.flatMap((row, y) => [...row].flatMap((dot, x) => (dot === "#" ? [[x + shift, y]] : [])));
      const plain = lit.filter((at) => !marks.has(String(at))), [canvas, said] = item.children;
      canvas.setAttribute("aria-hidden", "true");
      const left = Math.min(0, ...lit.map(([x]) => x), ...pixels.map(([x]) => x)), width = Math.max(...[...lit, ...pixels].map(([x]) => x), 0) - left + 1;
      const moved = [...plain, ...pixels.map(([x, y]) => [x, y, "accent"])].map(([x, y, name]) => [x - left + 1, y + 1, name]);
      dots(canvas, width + 2, sheet.cell[1] + 2, moved, look, 6);
      said.textContent = pixels.length ? `${other.symbol}: ${pixels.length} pixel${pixels.length === 1 ? "" : "s"} differ${pixels.length === 1 ? "s" : ""}` : `${other.symbol}: the same`;
    });
    holder.parentElement.hidden = !found.length;
  }
  return { lines, uses, showLines, showLookAlikes, dots, tones };
})();
