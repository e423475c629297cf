// The instructions of a reel. From LITERAL on, the lower bits are a count or a page.

pub const FRAME: u8 = 0x00;
pub const WAIT: u8 = 0x01;
pub const HOLD: u8 = 0x02;
pub const JUMP: u8 = 0x03;
pub const SCENE: u8 = 0x04;
pub const CUE: u8 = 0x05;
pub const COMMANDS: u8 = 0x06;
pub const PLAY: u8 = 0x07;
pub const PLAY_LONG: u8 = 0x08;
pub const SET_UP_ENDS: u8 = 0x09;
pub const COPY: u8 = 0x0A;
pub const TAKE: u8 = 0x0B;
pub const ONWARD: u8 = 0x0C;
pub const LINE: u8 = 0x0D;
pub const REPEAT: u8 = 0x0E;
pub const DRAW: u8 = 0x0F;
pub const MODEL: u8 = 0x10;
pub const KEY: u8 = 0x11;
pub const AGAIN: u8 = 0x12;
pub const CLEARED: u8 = 0x13;
pub const CHANGES: u8 = 0x14;
pub const BEAM: u8 = 0x15;
pub const POINT: u8 = 0x16;
pub const OPEN_BEAM: u8 = 0x17;
pub const TURN: u8 = 0x18;
/// The contrast of the scene follows a live value from this instruction on.
pub const CONTRAST: u8 = 0x19;
/// Closes the areas.
pub const CLOSE_AREAS: u8 = 0x1A;
pub const ROUND: u8 = 0x1B;
pub const OPEN_ROLL: u8 = 0x1C;
pub const ROLL: u8 = 0x1D;
/// Opens the areas of a scene, whose records follow.
pub const OPEN_AREAS: u8 = 0x1E;
/// Restarts the courses of the areas.
pub const RESTART_AREAS: u8 = 0x1F;
pub const LITERAL: u8 = 0x20;
pub const FILL: u8 = 0x40;
pub const ZERO: u8 = 0x60;
pub const SEEK: u8 = 0x80;
/// The model of a film.
pub const FILM: u8 = 0x90;
