// Draws the display on a canvas: pixels with gaps, in their bezel, in the dark or in a lit room, new or worn, in real size if
// wanted.
const Display = (() => {
  // The same rule as for the animated preview: light is proportional to contrast. The value of a screen is light to the power of
  // 1/2.2.
  const GAMMA = 2.2, LEAST = 1 / 6, HALO = 0.12, GLARE = 0.38, BLEACH = 0.6, MARGIN = 3;
  const mixed = (from, to, share) => from.map((part, at) => part + (to[at] - part) * share);
  const css = (colour) => `rgb(${colour.map((part) => Math.max(0, Math.min(255, Math.round(part)))).join(" ")})`;

  // The colours of a lit pixel and of the gap next to it, at a contrast.
  function shine(full, tones, contrast, reference, steady) {
    if (steady) return { dot: full, gap: tones.glass };
    const value = Math.pow(contrast / Math.max(1, reference), 1 / GAMMA);
    const share = LEAST + (1 - LEAST) * Math.min(1, value), beyond = Math.max(0, Math.min(1, value - 1));
    const dot = mixed(mixed(tones.unlit, full, share), [255, 255, 255], beyond * BLEACH);
    return { dot, gap: mixed(tones.glass, dot, HALO * share + GLARE * beyond) };
  }

  // Canvas pixels for one display pixel: as many as fill the column or give the real size, at least 4.
  function pitches(show, size) {
    const ratio = window.devicePixelRatio || 1, tall = show.pitch[1] / show.pitch[0];
    if (size.millimetre) {
      const across = show.pitch[0] * size.millimetre;
      return { pitch: Math.max(4, Math.ceil(across * ratio)), across, tall };
    }
    const across = size.times || Math.max(3, Math.min(8, Math.floor(size.room / (show.width + 2 * MARGIN))));
    return { pitch: Math.max(2, Math.round(across * ratio)), across, tall };
  }

  // The colours of a lit pixel by its wear (255 is the largest in this show), for both colours of the display. Each is computed
  // once.
  function worn(show, tones, light, steady, hours) {
    const known = [[], []], full = [tones.lit, tones.second].map((lit) => shine(lit, tones, light, show.reference, steady));
    return (second, wear) => {
      if (!known[second][wear]) {
        const value = show.age ? Math.pow(2, (-hours * show.age.halvings * wear) / 255 / GAMMA) : 1;
        known[second][wear] = { dot: css(mixed(tones.unlit, full[second].dot, value)), gap: css(mixed(tones.glass, full[second].gap, value)) };
      }
      return known[second][wear];
    };
  }

  // Draws one picture. `light` is its contrast, or -1 if the display is off. `sight` says whether the room is lit, and for how many
  // hours the display has run.
  function draw(canvas, show, picture, light, colours, { day, hours }, size) {
    const { pitch, across, tall } = pitches(show, size);
    const down = Math.round(pitch * tall), dot = [pitch, down].map((way) => Math.max(1, Math.min(way - 1, Math.round(way * show.dot))));
    const width = (show.width + 2 * MARGIN) * pitch, height = (show.height + 2 * MARGIN) * down;
    if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];
    canvas.style.width = `${(across * width) / pitch}px`;
    canvas.classList.toggle("true-size", Boolean(size.millimetre));
    const paper = canvas.getContext("2d"), tones = day ? colours.day : colours.night, rowBytes = Math.ceil(show.width / 8);
    const fill = (colour, x, y, wide, high) => {
      paper.fillStyle = colour;
      paper.fillRect(x, y, wide, high);
    };
    fill(css(tones.bezel), 0, 0, width, height);
    const [left, top, wide, high] = show.opening || [-1, -1, show.width + 2, show.height + 2];
    const opening = [(MARGIN + left) * pitch, (MARGIN + top) * down, wide * pitch, high * down].map(Math.round);
    fill(css(tones.edge), opening[0] - 1, opening[1] - 1, opening[2] + 2, opening[3] + 2);
    paper.save();
    paper.beginPath();
    paper.rect(...opening);
    paper.clip();
    fill(css(tones.glass), 0, 0, width, height);
    const bit = (bits, x, y) => (bits[y * rowBytes + (x >> 3)] >> (7 - (x & 7))) & 1;
    const shines = worn(show, tones, light, colours.steady, hours), wear = hours && show.age ? show.age.wear : [];
    const unlit = css(tones.unlit);
    for (let y = 0; y < show.height; y++) {
      for (let x = 0; x < show.width; x++) {
        const at = [(MARGIN + x) * pitch, (MARGIN + y) * down];
        if (light < 0 || !bit(picture, x, y)) {
          fill(unlit, ...at, ...dot);
          continue;
        }
        const colour = shines(colours.mask ? bit(colours.mask, x, y) : 0, wear[y * show.width + x] || 0);
        fill(colour.gap, ...at, pitch, down);
        fill(colour.dot, ...at, ...dot);
      }
    }
    paper.restore();
  }
  return { draw };
})();
