//! Plays a show and writes down what its display is sent, as glass.c does.
#![deny(warnings)]

mod lamp_room;
mod pageloom_config;
mod pageloom_player;

use pageloom_player::player::{Bus, Status};

struct Recorder {
    is_control: bool,
}

impl Bus for Recorder {
    type Error = ();
    fn start(&mut self, _: u8) -> Result<(), ()> {
        self.is_control = true;
        Ok(())
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        match (self.is_control, byte) {
            (true, 0x40) => print!("d"),
            (true, _) => print!("c"),
            _ => print!(" {byte:02X}"),
        }
        self.is_control = false;
        Ok(())
    }
    fn stop(&mut self) -> Result<(), ()> {
        println!();
        Ok(())
    }
}

static LIVE: pageloom_config::LiveValues = pageloom_config::LiveValues::new(&lamp_room::LIVE_LIMITS);

fn main() {
    let (mut bus, mut player) = (Recorder { is_control: false }, lamp_room::show_player(&LIVE));
    for frame in 0..80u16 {
        LIVE.set(lamp_room::Live::Light as usize, (frame % 12) as i16);
        let status = loop {
            let status = player.tick(&mut bus, frame * 100, 30);
            if status != Status::Busy {
                break status;
            }
        };
        println!("{}", if status == Status::Idle { "frame" } else { "fault" });
    }
}
