// The player interprets a reel and sends it to the display, a few bytes at a time. It needs no heap and no picture copy. Its state
// takes 60 bytes on microcontrollers with 32-bit pointers; with one area 76, and 8 more for each further area. It never waits: call
// `tick` from the main loop.

use super::bus::{Burst, Data, End, NO_SHIFT, SHORTEST_GAP};
pub use super::bus::{Bus, Extension, Lean, SMALLEST_ALLOWANCE, Status, Work};
use super::operation as op;
use super::reel::{
    BACK, HEADER_ADDRESS, HEADER_FRACTION, HEADER_PERIOD, HEADER_SCENES, HEADER_SET_UP, HEADER_START, HEADER_TABLES,
    HEADER_TRIGGERS, HEADER_WRITE_LIMIT, NONE, Phase, Stretches, byte, inside, playable, word,
};

const LATEST_MILLISECONDS: u16 = 256;

/// One player of one reel.
pub struct Player<'r, K: Extension = Lean> {
    reel: &'r [u8],
    keeps: K,
    at: u16,
    copy_from: u16,
    /// Where the last copy of a strip began.
    strip: u16,
    /// The page of the data bytes, the column after them, and their distance in the strip from the bytes shown.
    page: u8,
    end: u8,
    shift: u8,
    due: u16,
    stretches: Stretches,
    /// Offset of the next piece of a loop, 0 for none; while a piece plays, offset of the rest of the frame.
    round: u16,
    /// Whether the scene has areas.
    areas: bool,
    data: Data,
    data_left: u8,
    fill: u8,
    /// Frames of this instruction that are still to be drawn.
    draws: u8,
    waits: u8,
    /// Finished repetitions of the repeated instructions.
    repeats: u8,
    /// The start line that the reel set last.
    line: u8,
    fraction: u8,
    scene: u8,
    former: u8,
    pending: u8,
    /// Number of scenes entered, which wraps.
    pub entries: u8,
    pub(super) phase: Phase,
}

impl<'r> Player<'r> {
    /// A player at the start of its reel. The first tick begins to set up the display.
    pub const fn new(reel: &'r [u8]) -> Self {
        Self::keeping(reel, Lean)
    }
}

impl<'r, K: Extension> Player<'r, K> {
    /// A player with extensions, such as a copy of the picture, at the start of its reel.
    pub const fn keeping(reel: &'r [u8], keeps: K) -> Self {
        let mut player = Self {
            reel,
            keeps,
            at: 0,
            copy_from: 0,
            strip: 0,
            page: 0,
            end: 0,
            shift: 0,
            due: 0,
            stretches: Stretches::new(),
            round: 0,
            areas: false,
            data: Data::Literal,
            data_left: 0,
            fill: 0,
            draws: 0,
            waits: 0,
            repeats: 0,
            line: 0,
            fraction: 0,
            scene: 0,
            former: NONE,
            pending: NONE,
            entries: 0,
            phase: Phase::Fault,
        };
        if playable(reel) {
            player.scene = reel[HEADER_START as usize];
            player.former = player.scene;
            player.begin();
        }
        player
    }

    /// Sets up the display again and restarts the current scene. Call it after a fault, or after a loss of supply.
    pub fn restart(&mut self) {
        if playable(self.reel) {
            self.keeps.leave();
            self.begin();
        }
    }

    /// At the set-up of a reel that can be played.
    const fn begin(&mut self) {
        let at = HEADER_SET_UP as usize;
        self.at = self.reel[at] as u16 | (self.reel[at + 1] as u16) << 8;
        self.stretches = Stretches::new();
        (self.data_left, self.draws, self.line, self.round) = (0, 0, 0, 0);
        self.areas = false;
        self.phase = Phase::SetUp;
    }

    /// Raises a trigger. It takes effect when the current frame is complete. If several are raised before that, only the last one has
    /// an effect. A trigger that the scene ignores is dropped at once, so that it cannot replace another.
    pub fn trigger(&mut self, trigger: u8) {
        let triggers = self.byte(HEADER_TRIGGERS);
        if trigger >= triggers {
            return;
        }
        let row = HEADER_TABLES + 2 * self.byte(HEADER_SCENES) as u16 + self.scene as u16 * triggers as u16;
        let target = self.resolve(self.byte(row.wrapping_add(trigger as u16)));
        self.pending = if target == NONE { self.pending } else { target };
    }

    /// The parts that extend the player: picture copy, beam, scrolling lines, areas.
    pub fn keeps(&mut self) -> &mut K {
        &mut self.keeps
    }

    /// The number of the scene that plays.
    pub fn scene(&self) -> u8 {
        self.scene
    }

    /// Continues the show: sends at most `allowance` bytes, including address and control bytes, and returns the result.
    /// `now` is a clock in milliseconds that may wrap. Call this at least every 30 seconds.
    pub fn tick<B: Bus>(&mut self, bus: &mut B, now: u16, allowance: u8) -> Status {
        let allowance = if allowance < SMALLEST_ALLOWANCE { SMALLEST_ALLOWANCE } else { allowance };
        let (address, most) = (self.byte(HEADER_ADDRESS), self.byte(HEADER_WRITE_LIMIT).wrapping_sub(1));
        let mut burst = Burst { bus, address, most, allowance, owed: 0, room: 0, open: false };
        burst.bus.work(Work::Tick, 1);
        for _ in 0..allowance {
            burst.bus.work(Work::Step, 1);
            // The frame that was due before a fault is not due any more.
            if !matches!(self.phase, Phase::Fault | Phase::SetUp | Phase::Ready) {
                match self.keeps.dim(self.reel, &mut burst) {
                    None => {}
                    Some(Ok(())) => continue,
                    Some(Err(end)) => return self.ended(&mut burst, end),
                }
            }
            match self.phase {
                Phase::Fault => return Status::Fault,
                Phase::Ready | Phase::Held | Phase::Waiting => {
                    if !self.ready(now, burst.bus) {
                        return Status::Idle;
                    }
                }
                Phase::SetUp | Phase::InRound | Phase::Walking | Phase::Sending => match self.send(&mut burst) {
                    Ok(()) => {}
                    Err(End::Phase) => {
                        if burst.close().is_err() {
                            self.phase = Phase::Fault;
                        }
                    }
                    Err(end) => return self.ended(&mut burst, end),
                },
            }
        }
        self.ended(&mut burst, End::Allowance)
    }

    fn ended<B: Bus>(&mut self, burst: &mut Burst<'_, B>, end: End) -> Status {
        let closed = burst.close();
        match (end, closed) {
            (End::Cue(cue), Ok(())) => Status::Cue(cue),
            (End::Allowance | End::Phase, Ok(())) => Status::Busy,
            _ => {
                self.phase = Phase::Fault;
                Status::Fault
            }
        }
    }

    /// Between frames: returns whether something is to be sent now.
    fn ready<B: Bus>(&mut self, now: u16, bus: &mut B) -> bool {
        if self.phase == Phase::Ready || self.react() {
            (self.due, self.fraction, self.phase) = (now, 0, Phase::Sending);
            self.enter(self.scene);
            return true;
        }
        let late = now.wrapping_sub(self.due);
        if self.phase == Phase::Held || late >= 0x8000 {
            return false;
        }
        self.due = if late > LATEST_MILLISECONDS { now } else { self.due };
        self.keeps.frame_begins();
        if self.round > 0 {
            self.change_over(Phase::InRound);
        } else if self.areas && self.keeps.advance(self.reel, bus) {
            self.phase = Phase::Walking;
        } else if self.waits > 0 {
            self.waits -= 1;
            self.next_due();
        } else {
            self.phase = Phase::Sending;
        }
        true
    }

    /// Handles the trigger that was raised last. Returns whether there was one.
    fn react(&mut self) -> bool {
        let target = self.pending;
        if target == NONE {
            return false;
        }
        self.pending = NONE;
        self.former = if target == self.scene { self.former } else { self.scene };
        self.scene = target;
        true
    }

    /// Returns the scene that `target` means, or `NONE`.
    fn resolve(&self, target: u8) -> u8 {
        let target = if target == BACK { self.former } else { target };
        if target < self.byte(HEADER_SCENES) { target } else { NONE }
    }

    fn enter(&mut self, scene: u8) {
        self.scene = scene;
        self.entries = self.entries.wrapping_add(1);
        self.stretches = Stretches::new();
        (self.data_left, self.draws, self.waits, self.repeats, self.round) = (0, 0, 0, 0, 0);
        self.areas = false;
        self.keeps.leave();
        self.at = word(self.reel, HEADER_TABLES + 2 * scene as u16);
    }

    fn next_due(&mut self) {
        let (fraction, carry) = self.fraction.overflowing_add(self.byte(HEADER_FRACTION));
        self.fraction = fraction;
        self.due = self.due.wrapping_add(word(self.reel, HEADER_PERIOD)).wrapping_add(carry as u16);
    }

    pub(super) fn byte(&self, at: u16) -> u8 {
        byte(self.reel, at)
    }

    fn next(&mut self) -> u8 {
        let byte = self.byte(self.at);
        self.at = self.at.wrapping_add(1);
        byte
    }

    fn next_word(&mut self) -> u16 {
        self.next() as u16 | (self.next() as u16) << 8
    }

    /// Plays one instruction, or as much of its data as the allowance permits.
    fn send<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if self.phase == Phase::Walking {
            return self.walk(burst);
        }
        if self.data_left > 0 {
            return self.send_data(burst);
        }
        if self.draws > 0 {
            return self.draw(burst);
        }
        self.at = self.stretches.come_back(self.at);
        burst.bus.work(Work::Instruction, 1);
        let from = self.at;
        let operation = self.next();
        match operation {
            op::LITERAL..op::SEEK => {
                self.data_left = (operation & 31) + 1;
                if operation < op::FILL && !inside(self.reel, self.at, self.data_left) {
                    return Err(End::Fault);
                }
                self.data = if operation < op::FILL { Data::Literal } else { Data::Fill };
                self.fill = if operation & op::ZERO == op::FILL { self.next() } else { 0 };
            }
            op::SEEK..op::FILM => {
                let column = self.next();
                return self.all_or_none(from, burst.seek(operation & 15, column));
            }
            op::FRAME | op::HOLD if self.phase == Phase::InRound => return self.leave_round(),
            op::FRAME => return self.frame_ends(Phase::Waiting, 0),
            op::WAIT => {
                let waits = self.next();
                return self.frame_ends(Phase::Waiting, waits);
            }
            op::HOLD => return self.frame_ends(Phase::Held, 0),
            op::JUMP => self.at = self.next_word(),
            op::SCENE => return self.go_on(),
            op::CUE => return Err(End::Cue(self.next())),
            op::COMMANDS => return self.reel_commands(burst, from),
            op::PLAY | op::PLAY_LONG => {
                burst.bus.work(Work::Replay, 1);
                let length = if operation == op::PLAY { self.next() as u16 } else { self.next_word() };
                return self.play(length);
            }
            op::SET_UP_ENDS => return self.set_up_ends(),
            op::COPY | op::TAKE | op::ONWARD | op::CHANGES => return self.copy(operation),
            op::LINE => {
                let step = self.next();
                let line = if step < 0x80 { self.line.wrapping_add(step) } else { step } & 63;
                let sent = self.all_or_none(from, burst.commands(&[0x40 | line]));
                if !matches!(sent, Err(End::Allowance)) {
                    self.line = line;
                }
                return sent;
            }
            op::REPEAT => {
                let (repeats, target) = (self.next(), self.next_word());
                let again = self.repeats < repeats;
                (self.repeats, self.at) = if again { (self.repeats + 1, target) } else { (0, self.at) };
            }
            op::ROUND => {
                let length = self.next_word();
                (self.round, self.waits, self.phase) = (self.at.wrapping_add(length), 0, Phase::InRound);
            }
            op::DRAW..=op::CLEARED | op::BEAM..=op::CLOSE_AREAS | op::OPEN_ROLL..=op::RESTART_AREAS | op::FILM => {
                burst.bus.work(Work::OpenedStream, (op::MODEL..=op::CLEARED).contains(&operation) as u16);
                return self.open(operation);
            }
            _ => return Err(End::Fault),
        }
        Ok(())
    }

    /// Passes an instruction to the extensions. Beams, scrolling lines and areas are allowed only in a scene, outside a loop.
    fn open(&mut self, operation: u8) -> Result<(), End> {
        let anywhere = operation == op::CLOSE_AREAS;
        if matches!(operation, op::OPEN_BEAM..=op::OPEN_AREAS) && !anywhere && self.phase != Phase::Sending {
            return Err(End::Fault);
        }
        let Some(behind) = self.keeps.open(self.reel, operation, self.at) else { return Err(End::Fault) };
        self.draws = match operation {
            op::DRAW => self.next(),
            op::OPEN_BEAM | op::TURN | op::ROLL => 1,
            op::OPEN_AREAS => self.keeps.sends_areas() as u8,
            _ => 0,
        };
        self.at = behind;
        self.areas = (self.areas || operation == op::OPEN_AREAS) && operation != op::CLOSE_AREAS;
        Ok(())
    }

    /// Switches from the rest of the frame to the next piece of the loop, or back.
    fn change_over(&mut self, phase: Phase) {
        (self.at, self.round, self.phase) = (self.round, self.at, phase);
    }

    /// Continues after a piece of a loop with the rest of the frame, if there is any.
    fn leave_round(&mut self) -> Result<(), End> {
        self.change_over(Phase::Sending);
        self.rest_of_frame()
    }

    /// Continues with the rest of the frame, or ends the frame if the rest does not change for some more frames.
    fn rest_of_frame(&mut self) -> Result<(), End> {
        if self.waits > 0 { self.frame_ends(Phase::Waiting, self.waits - 1) } else { Ok(()) }
    }

    /// Draws what moves on its own. Then continues with the rest of the frame, if there is any.
    fn walk<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if !self.keeps.draw(self.reel, self.scene, burst)? {
            return Ok(());
        }
        self.phase = Phase::Sending;
        self.rest_of_frame()
    }

    /// Prepares to send data bytes from another offset of the reel, or from a strip.
    fn copy(&mut self, operation: u8) -> Result<(), End> {
        self.data_left = self.next();
        self.data = Data::Copy;
        self.copy_from = self.next_word();
        if operation >= op::ONWARD {
            self.copy_from = self.copy_from.wrapping_add(self.strip);
        }
        if operation >= op::TAKE {
            self.strip = self.copy_from;
        }
        if !inside(self.reel, self.copy_from, self.data_left) {
            return Err(End::Fault);
        }
        if operation == op::CHANGES {
            self.data = Data::Elsewhere;
            (self.page, self.end, self.shift) = (self.next(), self.next(), self.next());
        }
        Ok(())
    }

    /// Skips cells that are already shown and sets the pointer to the next change. Returns whether the pointer is there.
    fn find_change<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<bool, End> {
        let (mut now, mut alike, shift) = (self.copy_from, 0, self.shift as u16);
        let most = if self.data_left < SHORTEST_GAP { self.data_left } else { SHORTEST_GAP };
        while alike < most && self.byte(now) == self.byte(now.wrapping_add(NO_SHIFT).wrapping_sub(shift)) {
            alike += 1;
            now = now.wrapping_add(1);
        }
        burst.bus.work(Work::Compared, alike as u16 + 1);
        let gap_ends = alike < SHORTEST_GAP && alike < self.data_left;
        if self.data == Data::AtChange && gap_ends {
            return Ok(true);
        }
        (self.data, self.copy_from, self.data_left) = (Data::Elsewhere, now, self.data_left - alike);
        if gap_ends {
            burst.seek(self.page, self.end.wrapping_sub(self.data_left))?;
            self.data = Data::AtChange;
        }
        Ok(false)
    }

    fn send_data<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if matches!(self.data, Data::Elsewhere | Data::AtChange) && !self.find_change(burst)? {
            return Ok(());
        }
        burst.make_room()?;
        while self.data_left > 0 && burst.room > 0 {
            let byte = match self.data {
                Data::Literal => self.next(),
                Data::Fill => self.fill,
                _ => self.byte(self.copy_from),
            };
            self.copy_from = self.copy_from.wrapping_add(1); // literals and fills do not use it
            burst.data(byte)?;
            self.data_left -= 1;
            if self.data == Data::AtChange {
                break; // the next byte may already be shown
            }
        }
        Ok(())
    }

    /// Draws a frame, or a part of it. Between the frames of one instruction, one frame period passes.
    fn draw<B: Bus>(&mut self, burst: &mut Burst<'_, B>) -> Result<(), End> {
        if self.keeps.draw(self.reel, self.scene, burst)? {
            self.draws -= 1;
            if self.draws > 0 {
                return self.frame_ends(Phase::Waiting, 0);
            }
        }
        Ok(())
    }

    /// If the instruction did not fit the allowance, makes the next tick play it again.
    fn all_or_none(&mut self, from: u16, sent: Result<(), End>) -> Result<(), End> {
        self.at = if matches!(sent, Err(End::Allowance)) { from } else { self.at };
        sent
    }

    fn reel_commands<B: Bus>(&mut self, burst: &mut Burst<'_, B>, from: u16) -> Result<(), End> {
        let mut bytes = [0; SMALLEST_ALLOWANCE as usize - 2];
        let count = self.next() as usize;
        let Some(group) = bytes.get_mut(..count) else { return Err(End::Fault) };
        if !inside(self.reel, self.at, count as u8) {
            return Err(End::Fault);
        }
        for byte in group.iter_mut() {
            *byte = self.next();
        }
        self.all_or_none(from, burst.commands(group))
    }

    fn frame_ends(&mut self, phase: Phase, waits: u8) -> Result<(), End> {
        (self.phase, self.waits) = (phase, waits);
        self.next_due();
        Err(End::Phase)
    }

    /// Goes to the scene that follows without a trigger.
    fn go_on(&mut self) -> Result<(), End> {
        let target = self.next();
        let target = self.resolve(target);
        if target == NONE {
            return Err(End::Fault);
        }
        self.enter(target);
        Ok(())
    }

    /// Plays `length` bytes of earlier instructions, then returns.
    fn play(&mut self, length: u16) -> Result<(), End> {
        let target = self.next_word();
        let begun = self.stretches.begin(self.at, target, length);
        self.at = target;
        begun.ok_or(End::Fault)
    }

    fn set_up_ends(&mut self) -> Result<(), End> {
        let ends = self.phase == Phase::SetUp;
        self.phase = if ends { Phase::Ready } else { self.phase };
        if ends { Ok(()) } else { Err(End::Fault) }
    }
}
