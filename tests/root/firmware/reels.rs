//! Tiny reels written by hand, each with the bytes that the bus must carry, worked out by hand from the format.

/// Header, scene table and trigger table of a reel whose code is put together piece by piece.
pub struct Maker {
    bytes: Vec<u8>,
    scenes: usize,
}

/// Offset of the scene table.
const TABLES: usize = 11;

impl Maker {
    /// Address 3C, `limit` bytes a transaction after the address, 50.5 ms a frame; a row of targets for each scene.
    pub fn new(limit: u8, targets: &[&[u8]]) -> Self {
        let triggers = targets[0].len();
        let mut bytes =
            vec![pageloom::reel::REEL_VERSION, 0x3C, limit, 50, 0, 128, targets.len() as u8, triggers as u8, 0, 0, 0];
        bytes.resize(TABLES + 2 * targets.len(), 0);
        targets.iter().for_each(|row| bytes.extend(*row));
        let set_up = bytes.len() as u16;
        bytes[9..11].copy_from_slice(&set_up.to_le_bytes());
        Self { bytes, scenes: 0 }
    }
    /// Live values, before the set-up: start, highest and lowest value, factor.
    pub fn live(mut self, values: &[[u16; 4]]) -> Self {
        let words = values.iter().rev().flatten();
        self.bytes.extend(words.flat_map(|word| word.to_le_bytes()));
        let set_up = self.at();
        self.bytes[9..11].copy_from_slice(&set_up.to_le_bytes());
        self
    }
    /// Where the next instruction goes.
    pub fn at(&self) -> u16 {
        self.bytes.len() as u16
    }
    /// Appends instructions.
    pub fn code(mut self, code: &[u8]) -> Self {
        self.bytes.extend(code);
        self
    }
    /// The next scene begins here.
    pub fn scene(mut self) -> Self {
        let (at, entry) = (self.at(), TABLES + 2 * self.scenes);
        self.bytes[entry..entry + 2].copy_from_slice(&at.to_le_bytes());
        self.scenes += 1;
        self
    }
    /// The reel.
    pub fn reel(self) -> Vec<u8> {
        self.bytes
    }
}

/// Two scenes that hold; trigger 0 goes to the other, trigger 1 back, trigger 2 counts in the second only.
pub fn two_scenes() -> Vec<u8> {
    let mut maker = Maker::new(8, &[&[1, 0xFE, 0xFF], &[0, 0xFE, 1]]).code(&[0x06, 2, 0x81, 0x2F, 0x09]).scene();
    let literal = maker.at() + 3;
    let frame = maker.at();
    maker = maker.code(&[0x80, 28, 0x23, 1, 2, 3, 4, 0x43, 9, 0x05, 7, 0x00]); // four bytes, four nines, cue 7
    let [low, high] = literal.to_le_bytes();
    maker = maker.code(&[0x81, 99, 0x0A, 3, low, high, 0x62, 0x01, 1]); // three bytes again, three zeros, two frames
    let [low, high] = frame.to_le_bytes();
    maker.code(&[0x07, 8, low, high, 0x02]).scene().code(&[0x87, 0x7F, 0x20, 0xAA, 0x05, 9, 0x02]).reel()
}

/// One scene that repeats itself with nested stretches, on a bus that takes three bytes at a time.
pub fn nested() -> Vec<u8> {
    let maker = Maker::new(3, &[&[]]).code(&[0x09]).scene();
    let a = maker.at();
    let [low, high] = a.to_le_bytes();
    let maker = maker.code(&[0x40, 1, 0x21, 2, 3]); // a: 1 2 3
    let b = maker.at();
    let [b_low, b_high] = b.to_le_bytes();
    let maker = maker.code(&[0x07, 5, low, high, 0x60]); // b: a, 0
    let maker = maker.code(&[0x08, 5, 0, b_low, b_high, 0x07, 5, b_low, b_high, 0x00]); // b b, frame
    maker.code(&[0x03, low, high]).reel()
}

/// One scene that shows the stretches of a strip, the start line going back by a row each frame, and repeats itself.
pub fn passing() -> Vec<u8> {
    let maker = Maker::new(8, &[&[]]).code(&[0x09]);
    let strip = maker.at();
    let [low, high] = strip.to_le_bytes();
    let [next_low, next_high] = (strip + 1).to_le_bytes();
    let maker = maker.code(&[10, 11, 12, 13, 14, 15]).scene();
    let maker = maker.code(&[0x0D, 0x82, 0x0B, 3, low, high, 0x00]); // line 2, three bytes of the strip
    let again = maker.at();
    let [again_low, again_high] = again.to_le_bytes();
    let maker = maker.code(&[0x0D, 0x81, 0x0B, 3, next_low, next_high, 0x00]); // line 1, the next three
    let body = maker.at();
    let [body_low, body_high] = body.to_le_bytes();
    let maker = maker.code(&[0x0D, 0x3F, 0x0C, 3, 1, 0, 0x00]); // a row back, a byte on
    maker.code(&[0x0E, 1, body_low, body_high, 0x03, again_low, again_high]).reel()
}

/// One scene that shows a stretch of a strip whole, then twice the next one, of which only what changes is sent.
pub fn changing() -> Vec<u8> {
    let maker = Maker::new(8, &[&[]]).code(&[0x09]);
    let [low, high] = maker.at().to_le_bytes();
    let maker = maker.code(&[5, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 7, 6, 8, 8, 8, 9]).scene();
    let again = maker.at() + 7;
    let [again_low, again_high] = again.to_le_bytes();
    let maker = maker.code(&[0x82, 30, 0x0B, 16, low, high, 0x00]); // sixteen bytes from page 2, column 30 on
    let maker = maker.code(&[0x14, 16, 1, 0, 2, 46, 128 + 1, 0x00]); // a byte on, as far as before column 46
    maker.code(&[0x0E, 1, again_low, again_high, 0x02]).reel() // once more, and that holds
}

/// One scene with a round of three stretches, beside a stretch of three frames that is played twice.
pub fn going_round() -> Vec<u8> {
    let maker = Maker::new(8, &[&[]]).code(&[0x09]).scene().code(&[0x80, 10, 0x20, 0x55, 0x00, 0x1B, 22, 0]);
    let round = maker.at();
    let [low, high] = round.to_le_bytes();
    let [data_low, data_high] = (round + 2).to_le_bytes();
    let maker = maker.code(&[0x82, 10, 0x21, 1, 2, 0x00, 0x82, 10, 0x60, 0x00]); // 1 2, then 0
    let maker = maker.code(&[0x82, 10, 0x20, 7, 0x07, 3, data_low, data_high, 0x00, 0x03, low, high]); // 7, and 1 2 again
    let [again_low, again_high] = maker.at().to_le_bytes();
    let maker = maker.code(&[0x81, 10, 0x20, 0xFF, 0x01, 2]); // FF, and that for two frames more
    maker.code(&[0x07, 6, again_low, again_high, 0x02]).reel()
}
