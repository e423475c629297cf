// What stands in a reel, how its bytes are read, and what a player of it is about.

/// The version of the reel format that this player plays.
pub const REEL_VERSION: u8 = 2;

/// What the player is about: in the set-up, in a round and in what else there is of a frame there is something to send.
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

pub const NONE: u8 = 0xFF;
pub const BACK: u8 = 0xFE;

// Offsets in the reel's header; where it ends, its tables begin.
pub const HEADER_ADDRESS: u16 = 1;
pub const HEADER_WRITE_LIMIT: u16 = 2;
pub const HEADER_PERIOD: u16 = 3;
pub const HEADER_FRACTION: u16 = 5;
pub const HEADER_SCENES: u16 = 6;
pub const HEADER_TRIGGERS: u16 = 7;
pub const HEADER_START: u16 = 8;
pub const HEADER_SET_UP: u16 = 9;
pub const HEADER_TABLES: u16 = 11;

/// A byte of the reel; beyond its end an unknown instruction, so that one that is cut short ends as a fault.
pub fn byte(reel: &[u8], at: u16) -> u8 {
    match reel.get(at as usize) {
        Some(byte) => *byte,
        None => NONE,
    }
}

/// A word of the reel.
pub fn word(reel: &[u8], at: u16) -> u16 {
    byte(reel, at) as u16 | (byte(reel, at.wrapping_add(1)) as u16) << 8
}

/// Whether `count` bytes from offset `from` lie inside the reel.
pub fn inside(reel: &[u8], from: u16, count: u8) -> bool {
    from as usize + count as usize <= reel.len()
}

/// Whether a player can begin it.
pub const fn playable(reel: &[u8]) -> bool {
    reel.len() >= HEADER_TABLES as usize
        && reel[0] == REEL_VERSION
        && reel[HEADER_WRITE_LIMIT as usize] > 2
        && reel[HEADER_START as usize] < reel[HEADER_SCENES as usize]
}
