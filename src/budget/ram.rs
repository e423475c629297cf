//! RAM: the player's state and the stack under one call of it.

use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::show::Show;

/// Bytes of state; the C player refuses to compile with more.
const STATE_BYTES: u32 = 64;
/// Bytes of stack under a call of the player, without the firmware's bus functions.
const STACK_BYTES: u32 = 48;

/// Checks the RAM.
pub fn ram(show: &Show, findings: &mut Findings) -> Budget {
    let (bytes, left) = (STATE_BYTES + STACK_BYTES, show.room().ram.0);
    let figures = vec![
        Figure::new("player state", f64::from(STATE_BYTES), "B").from("at most", "compile-time check in player.h"),
        Figure::new("stack of a call", f64::from(STACK_BYTES), "B")
            .from("return addresses and saved registers of five calls", "estimated")
            .rough(),
        Figure::new("RAM in all", f64::from(bytes), "B")
            .limit(f64::from(left))
            .from("state + stack; there is no frame buffer", "the rows above; the limit is the show's ram_left"),
    ];
    if bytes > left {
        let message = format!("the player needs {bytes} B of RAM, {} B more than are left", bytes - left);
        findings
            .push(Finding::error(show.spans().microcontroller, message).hint("free some RAM, or take a larger part"));
    }
    Budget { title: "RAM", figures }
}
