// The contents of a reel, how its bytes are read, and the states of a player.

/// The version of the reel format that this player plays.
pub const REEL_VERSION: u8 = 2;

/// The state of the player. In the set-up, in a loop and in the rest of a frame there is something to send.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    SetUp,
    InRound,
    Walking,
    Sending,
    Ready,
    Waiting,
    Held,
    Fault,
}

const LEVELS: usize = 4;

/// Open calls of earlier instructions: where each one ends, and where the player continues after it.
pub struct Stretches {
    returns: [u16; LEVELS],
    ends: [u16; LEVELS],
    depth: u8,
}

impl Stretches {
    pub const fn new() -> Self {
        Self { returns: [0; LEVELS], ends: [0; LEVELS], depth: 0 }
    }

    /// Ends the calls whose instructions end at `at`. Returns where the player continues.
    pub fn come_back(&mut self, at: u16) -> u16 {
        let mut at = at;
        while self.depth > 0 && at == self.ends[self.depth as usize - 1] {
            self.depth -= 1;
            at = self.returns[self.depth as usize];
        }
        at
    }

    /// Opens a call of `length` bytes at `target`, after which the player continues at `at`. `None` if it is empty or nested too deeply.
    pub fn begin(&mut self, at: u16, target: u16, length: u16) -> Option<()> {
        let level = self.depth as usize;
        if level >= LEVELS || length == 0 {
            return None;
        }
        (self.returns[level], self.ends[level]) = (at, target.wrapping_add(length));
        self.depth += 1;
        Some(())
    }
}

impl Default for Stretches {
    fn default() -> Self {
        Self::new()
    }
}

pub const NONE: u8 = 0xFF;
pub const BACK: u8 = 0xFE;

// Offsets in the reel's header.
pub const HEADER_ADDRESS: u16 = 1;
pub const HEADER_WRITE_LIMIT: u16 = 2;
pub const HEADER_PERIOD: u16 = 3;
pub const HEADER_FRACTION: u16 = 5;
pub const HEADER_SCENES: u16 = 6;
pub const HEADER_TRIGGERS: u16 = 7;
/// Offset of the number of the start scene.
pub const HEADER_START: u16 = 8;
/// Offset of the word with the offset of the set-up.
pub const HEADER_SET_UP: u16 = 9;
/// Offset of the tables of scenes and triggers, which follow the header.
pub const HEADER_TABLES: u16 = 11;

/// Returns a byte of the reel. Beyond its end this is an unknown instruction, so that an incomplete reel ends with a fault.
pub fn byte(reel: &[u8], at: u16) -> u8 {
    match reel.get(at as usize) {
        Some(byte) => *byte,
        None => NONE,
    }
}

/// Returns a word of the reel.
pub fn word(reel: &[u8], at: u16) -> u16 {
    byte(reel, at) as u16 | (byte(reel, at.wrapping_add(1)) as u16) << 8
}

/// Returns whether `count` bytes from the offset `from` lie in the reel.
pub fn inside(reel: &[u8], from: u16, count: u8) -> bool {
    from as usize + count as usize <= reel.len()
}

/// Returns whether a player can start the reel: its version, write limit and start scene are valid.
pub const fn playable(reel: &[u8]) -> bool {
    reel.len() >= HEADER_TABLES as usize
        && reel[0] == REEL_VERSION
        && reel[HEADER_WRITE_LIMIT as usize] > 2
        && reel[HEADER_START as usize] < reel[HEADER_SCENES as usize]
}
