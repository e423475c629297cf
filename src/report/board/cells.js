// The cells of a sheet as a list: one is chosen, by pointer or by arrow keys.
function Cells(list, desk) {
  const SCALE = 3;
  const shown = new Map();

  function thumbnail(canvas, rows) {
    [canvas.width, canvas.height] = [(rows[0] || ".").length, rows.length || 1];
    [canvas.style.width, canvas.style.height] = [`${canvas.width * SCALE}px`, `${canvas.height * SCALE}px`];
    const paper = canvas.getContext("2d");
    paper.fillStyle = getComputedStyle(canvas).color;
    rows.forEach((row, y) => [...row].forEach((dot, x) => dot === "#" && paper.fillRect(x, y, 1, 1)));
  }
  const named = (cell, sheet) => `${sheet.font ? `${cell.symbol} ${cell.name || cell.code}` : cell.name}${Glyphs.drawn(cell) ? "" : ", not drawn yet"}`;

  function entry(cell, number) {
    const option = document.createElement("li"), canvas = document.createElement("canvas"), caption = document.createElement("span");
    option.setAttribute("role", "option");
    option.id = `cell-${number}`;
    canvas.setAttribute("aria-hidden", "true");
    option.append(canvas, caption);
    option.addEventListener("click", () => desk.choose(Number(option.dataset.number)));
    return { option, canvas, caption };
  }

  // Scrolls the list, and nothing around it, until an entry is within it.
  function reveal(option) {
    const box = list.parentElement, within = (from, size, at, room) => Math.min(from, Math.max(from + size - room, at));
    box.scrollTo(within(option.offsetLeft, option.offsetWidth, box.scrollLeft, box.clientWidth), within(option.offsetTop, option.offsetHeight, box.scrollTop, box.clientHeight));
  }

  function show(sheet) {
    const scheme = matchMedia("(prefers-color-scheme: dark)").matches;
    sheet.cells.forEach((cell, number) => {
      const one = shown.get(number) || entry(cell, number);
      shown.set(number, one);
      const look = `${sheet.id} ${scheme} ${cell.symbol} ${cell.name} ${cell.rows.join("/")}`, chosen = number === desk.number;
      if (one.look !== look) {
        one.look = look;
        one.option.dataset.number = number;
        one.caption.textContent = sheet.font ? cell.symbol : number + 1;
        one.option.setAttribute("aria-label", named(cell, sheet));
        one.option.classList.toggle("blank", !Glyphs.drawn(cell));
        if (!one.option.isConnected) list.append(one.option);
        thumbnail(one.canvas, cell.rows);
      }
      if (chosen && one.option.getAttribute("aria-selected") !== "true") reveal(one.option);
      one.option.setAttribute("aria-selected", String(chosen));
      one.option.tabIndex = chosen ? 0 : -1;
    });
    for (const [number, one] of shown) if (number >= sheet.cells.length) {
      one.option.remove();
      shown.delete(number);
    }
  }

  list.addEventListener("keydown", (event) => {
    const across = Math.max(1, [...list.children].filter((one) => one.offsetTop === list.firstElementChild.offsetTop).length);
    const by = { ArrowLeft: -1, ArrowRight: 1, ArrowUp: -across, ArrowDown: across, Home: -Infinity, End: Infinity }[event.key];
    if (event.key === "Enter" || event.key === " ") find("pixels").focus();
    else if (by === undefined) return;
    else {
      desk.choose(Math.max(0, Math.min(list.children.length - 1, desk.number + by)));
      const option = list.children[desk.number];
      if (option) option.focus();
    }
    event.preventDefault();
  });
  return { show, thumbnail };
}
