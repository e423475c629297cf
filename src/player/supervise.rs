// The supervisor: what real modules need besides the show. It waits after power-up until the module is ready, pulses the reset pin
// (`Bus::reset`), switches the module on in the order of its data sheet, and sets up the display. After a fault it starts again with
// the wait, so a display that was unplugged and plugged in again shows a complete picture. At an interval of some seconds it repeats
// the set-up between two frames. It leaves out what the show itself changes, so nothing flickers. It also switches the display off.
// It never blocks: call its `tick` instead of the player's.

use super::player::{Bus, Extension, Player, Status};
use super::reel::{HEADER_ADDRESS, Phase};

/// A display's table: milliseconds to wait after power-up; offset of the groups; offset of the steps that switch off; the steps that
/// follow the reset; the groups of the set-up; the steps that switch off. A group is a count and that many command bytes. A step is
/// milliseconds to wait, then a group. A count of 0 ends groups and steps.
const WAIT: u8 = 0;
const GROUPS: u8 = 1;
const OFF_STEPS: u8 = 2;
const ON_STEPS: u8 = 3;
const MILLISECONDS_A_SECOND: u16 = 1000;

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Powered,
    ListeningSoon,
    Starting,
    Running,
    Stopping,
    Off,
}

/// Keeps a real module running. It starts with the wait after power-up.
pub struct Supervisor<'d> {
    display: &'d [u8],
    /// Seconds from one set-up to the next; 0 for no repetition.
    pub every: u8,
    since: u16,
    seconds: u8,
    /// Offset of the next commands, 0 for none.
    next: u8,
    stops: bool,
    /// Whether the player waits for its next frame.
    rests: bool,
    state: State,
}

impl<'d> Supervisor<'d> {
    /// A supervisor for the table `DISPLAY` of the show.
    pub const fn new(display: &'d [u8]) -> Self {
        Self { display, every: 0, since: 0, seconds: 0, next: 0, stops: false, rests: false, state: State::Powered }
    }

    /// Switches the display off in the order of its data sheet, after the current frame is complete. Keep calling `tick` until
    /// [`Self::is_off`] is true. Then you may cut the supply. A new supervisor switches the display on again.
    pub fn switch_off(&mut self) {
        self.stops = true;
    }

    /// Whether the display is off and its waits are over.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.state == State::Off
    }

    /// Calls the player once, like its own `tick`. After `Status::Fault` it recovers by itself; you need not do anything.
    pub fn tick<B: Bus, K: Extension>(
        &mut self,
        player: &mut Player<'_, K>,
        bus: &mut B,
        now: u16,
        allowance: u8,
    ) -> Status {
        if self.state == State::Powered || self.state == State::ListeningSoon {
            self.listen(bus, now);
        }
        let mut status = Status::Idle;
        if self.state == State::Starting || self.state == State::Stopping {
            let taken = self.take_step(player.byte(HEADER_ADDRESS), bus, now);
            if taken.is_none() {
                self.state = if self.state == State::Starting { State::Running } else { State::Off };
                (self.seconds, self.next) = (0, 0);
                player.restart();
            }
            status = taken.unwrap_or(Status::Idle);
        }
        if self.state == State::Running {
            status = self.play(player, bus, now, allowance);
        }
        if status == Status::Fault {
            player.phase = Phase::Fault;
            self.state = State::Powered;
        }
        status
    }

    /// Resets the module when its wait is over, and begins the steps that follow.
    fn listen<B: Bus>(&mut self, bus: &mut B, now: u16) {
        if self.state == State::Powered {
            (self.since, self.state) = (now, State::ListeningSoon);
        }
        if self.stops {
            self.state = State::Off;
        } else if now.wrapping_sub(self.since) >= u16::from(self.byte(WAIT)) {
            bus.reset();
            self.begin_steps(ON_STEPS, State::Starting, now);
        }
    }

    /// Calls the player. Between frames, sends a group of the set-up if that is due, or begins to switch off.
    fn play<B: Bus, K: Extension>(
        &mut self,
        player: &mut Player<'_, K>,
        bus: &mut B,
        now: u16,
        allowance: u8,
    ) -> Status {
        if now.wrapping_sub(self.since) >= MILLISECONDS_A_SECOND {
            self.since = self.since.wrapping_add(MILLISECONDS_A_SECOND);
            self.seconds = self.seconds.wrapping_add(1);
            if self.seconds == self.every {
                (self.seconds, self.next) = (0, self.byte(GROUPS));
            }
        }
        if self.rests && self.next > 0 {
            // Without the player, so that no call sends more than its allowance.
            self.rests = false;
            if let Some(status) = self.send_group(player.byte(HEADER_ADDRESS), bus) {
                return status;
            }
            self.next = 0;
        }
        let status = player.tick(bus, now, allowance);
        self.rests = status == Status::Idle;
        if self.rests && self.stops {
            self.begin_steps(self.byte(OFF_STEPS), State::Stopping, now);
        }
        status
    }

    /// Begins the steps at an offset of the table.
    fn begin_steps(&mut self, at: u8, state: State, now: u16) {
        (self.next, self.since, self.state) = (at, now, state);
    }

    /// Waits and sends as the steps say. Returns `None` after the last step.
    fn take_step<B: Bus>(&mut self, address: u8, bus: &mut B, now: u16) -> Option<Status> {
        if now.wrapping_sub(self.since) < u16::from(self.byte(self.next)) {
            return Some(Status::Idle);
        }
        self.since = now;
        self.next = self.next.wrapping_add(1);
        self.send_group(address, bus)
    }

    /// Sends the next group of commands of the table. Returns `None` if its count is 0.
    fn send_group<B: Bus>(&mut self, address: u8, bus: &mut B) -> Option<Status> {
        let count = self.byte(self.next);
        let first = self.next.wrapping_add(1);
        self.next = first.wrapping_add(count);
        if count == 0 {
            return None;
        }
        let begun = bus.start(address).and_then(|()| bus.write(0x00));
        let sent = (0..count).fold(begun, |sent, at| sent.and_then(|()| bus.write(self.byte(first.wrapping_add(at)))));
        let closed = bus.stop();
        Some(if sent.and(closed).is_ok() { Status::Busy } else { Status::Fault })
    }

    fn byte(&self, at: u8) -> u8 {
        self.display.get(at as usize).copied().unwrap_or(0)
    }
}
