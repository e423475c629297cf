//! RAM: the player's state and the stack under one call of it.

use super::choice::Choice;
use super::fields::field_ram;
use super::time::other_profile;
use super::{Budget, Figure};
use crate::diag::{Finding, Findings};
use crate::reel::Reel;
use crate::show::Show;

/// RAM of the thresholds; none without any.
fn threshold_ram(show: &Show) -> u32 {
    if show.threshold_table().is_empty() { 0 } else { show.microcontroller().threshold_code().ram.0 }
}

/// Bytes of the deepest stack: a call of the supervisor, with that of the player in it.
fn stack(show: &Show, reel: &Reel) -> u32 {
    let part = show.microcontroller();
    part.player_cost().0.stack_with(reel.parts).0 + part.supervisor_code().stack.0
}

/// Bytes of RAM of the player, the supervisor, the stack under one call, the copy of the picture and the fields.
pub fn ram_in_all(show: &Show, reel: &Reel) -> u32 {
    let player = show.microcontroller().player_cost().0;
    let state = player.state_with(reel.parts).0 + show.microcontroller().supervisor_code().ram.0;
    state
        + stack(show, reel)
        + player.picture_ram(reel.parts, show.panel()).0
        + field_ram(show, reel)
        + threshold_ram(show)
}

/// Checks the RAM.
pub fn ram(show: &Show, choice: &Choice, findings: &mut Findings) -> Budget {
    let reel = &choice.fitted.reel;
    let (player, measured) = show.microcontroller().player_cost();
    let (live, left) = (field_ram(show, reel), show.room().ram.0);
    let picture = player.picture_ram(reel.parts, show.panel()).0;
    let state = player.state_with(reel.parts).0;
    let bytes = ram_in_all(show, reel);
    let part = |name, value, formula: &str| {
        let figure = Figure::new(name, f64::from(value), "B").from(formula, player.evidence(measured));
        if measured { figure } else { figure.rough() }
    };
    let mut figures = vec![
        part("player state", state, "size of the player's variable"),
        part(
            "stack of one call",
            stack(show, reel),
            "deepest stack of one call of supervisor and player, including the bus functions, without interrupts",
        ),
    ];
    let supervisor = show.microcontroller().supervisor_code();
    figures.push(Figure::of_code("supervisor", supervisor.ram.0, supervisor));
    if picture > 0 {
        let formula = "columns × pages + one mark for each cell and for a border around them + state of the decoder";
        figures.push(Figure::new("copy of the picture", f64::from(picture), "B").from(formula, "the player's header"));
    }
    if live > 0 {
        figures
            .push(Figure::new("fields", f64::from(live), "B").from("state and characters", "the budget of the fields"));
    }
    if threshold_ram(show) > 0 {
        figures.push(Figure::of_code("thresholds", threshold_ram(show), show.microcontroller().threshold_code()));
    }
    figures.push(Figure::new("RAM in total", f64::from(bytes), "B").limit(f64::from(left)).from(
        "state + stack + supervisor + copy of the picture (dense reels only) + fields + thresholds",
        "the rows above; the limit is `ram_left` of the show",
    ));
    if bytes > left {
        let message = format!("the player needs {bytes} B of RAM: {} B more than the show allows", bytes - left);
        let finding = Finding::broken_limit(show.spans().microcontroller, message);
        let finding = other_profile(choice).into_iter().fold(finding, Finding::hint);
        findings.push(finding.hint("free some RAM, or use a larger microcontroller"));
    }
    Budget { title: "RAM", figures }
}
