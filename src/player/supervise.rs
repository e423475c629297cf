// The supervisor: what real modules need beside the show. It waits after power-up until the module can listen, has the reset pin
// pulsed if there is one (`Bus::reset`), sets the display up, and after a fault begins again from the wait, so that a display that
// was unplugged is found again and shows a whole picture. Every so many seconds it sends the set-up again between two frames: what
// the show itself changes is left out, so nothing flickers. Nothing in it blocks: call its `tick` in place of the player's.

use super::player::{Bus, Extension, Player, Status};
use super::reel::{HEADER_ADDRESS, Phase};

/// A display's table: milliseconds to wait after power-up, then groups of commands (count, bytes), and a count of 0.
const WAIT: usize = 0;
const GROUPS: u8 = 1;
const MILLISECONDS_A_SECOND: u16 = 1000;

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    Powered,
    ListeningSoon,
    Running,
}

/// Keeps a real module going; it begins with the wait.
pub struct Supervisor<'d> {
    display: &'d [u8],
    /// Seconds from one set-up to the next; 0 for never.
    pub every: u8,
    since: u16,
    seconds: u8,
    /// Offset of the commands to be sent next, 0 for none.
    next: u8,
    state: State,
}

impl<'d> Supervisor<'d> {
    /// A supervisor of a display, by the show's table of that name.
    pub const fn new(display: &'d [u8]) -> Self {
        Self { display, every: 0, since: 0, seconds: 0, next: 0, state: State::Powered }
    }

    /// One call of the player, as its own `tick`. After `Status::Fault` it goes on by itself: there is nothing to be done.
    pub fn tick<B: Bus, K: Extension>(
        &mut self,
        player: &mut Player<'_, K>,
        bus: &mut B,
        now: u16,
        allowance: u8,
    ) -> Status {
        if self.state != State::Running && !self.is_listening(player, bus, now) {
            return Status::Idle;
        }
        if now.wrapping_sub(self.since) >= MILLISECONDS_A_SECOND {
            self.since = self.since.wrapping_add(MILLISECONDS_A_SECOND);
            self.seconds = self.seconds.wrapping_add(1);
            if self.seconds == self.every {
                (self.seconds, self.next) = (0, GROUPS);
            }
        }
        let mut status = player.tick(bus, now, allowance);
        if status == Status::Idle && self.next > 0 {
            status = self.send_group(player.byte(HEADER_ADDRESS), bus);
        }
        if status == Status::Fault {
            player.phase = Phase::Fault;
            self.state = State::Powered;
        }
        status
    }

    /// Whether the module has had its time; it is then set up from its reset on.
    fn is_listening<B: Bus, K: Extension>(&mut self, player: &mut Player<'_, K>, bus: &mut B, now: u16) -> bool {
        if self.state == State::Powered {
            (self.since, self.state) = (now, State::ListeningSoon);
        }
        if now.wrapping_sub(self.since) < self.byte(WAIT) as u16 {
            return false;
        }
        bus.reset();
        player.restart();
        (self.since, self.seconds, self.next, self.state) = (now, 0, 0, State::Running);
        true
    }

    /// Sends the next group of commands, which is the last one if its count is 0.
    fn send_group<B: Bus>(&mut self, address: u8, bus: &mut B) -> Status {
        let (at, count) = (self.next as usize + 1, self.byte(self.next as usize));
        if count == 0 {
            self.next = 0;
            return Status::Idle;
        }
        self.next = self.next.wrapping_add(count).wrapping_add(1);
        let begun = bus.start(address).and_then(|()| bus.write(0x00));
        let sent = (at..at + count as usize).fold(begun, |sent, at| sent.and_then(|()| bus.write(self.byte(at))));
        let closed = bus.stop();
        if sent.and(closed).is_ok() { Status::Busy } else { Status::Fault }
    }

    fn byte(&self, at: usize) -> u8 {
        self.display.get(at).copied().unwrap_or(0)
    }
}
