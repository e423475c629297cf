//! Plays a show on a bus that writes down what it carries; the schedule is that of main.c and compiled.rs.
#![deny(warnings)]

mod helm;
mod pageloom_config;
mod pageloom_player;

use pageloom_player::player::{Bus, Status};

#[derive(Default)]
struct Recorder {
    bytes_sent: u32,
}

impl Recorder {
    fn sent(&mut self, byte: u8) -> Result<(), ()> {
        self.bytes_sent += 1;
        print!(" {byte:02X}");
        if self.bytes_sent % 997 != 0 { Ok(()) } else { Err(()) }
    }
}

impl Bus for Recorder {
    type Error = ();
    fn start(&mut self, address: u8) -> Result<(), ()> {
        print!("<");
        self.sent(address)
    }
    fn write(&mut self, byte: u8) -> Result<(), ()> {
        self.sent(byte)
    }
    fn stop(&mut self) -> Result<(), ()> {
        println!(" >");
        Ok(())
    }
}

fn main() {
    let mut bus = Recorder::default();
    let mut player = helm::show_player();
    for step in 0..600u32 {
        if step % 97 == 50 {
            player.trigger(helm::Trigger::Leak as u8);
        }
        if step % 193 == 100 {
            player.trigger(helm::Trigger::AllClear as u8);
        }
        for _ in 0..8 {
            match player.tick(&mut bus, (65000 + step * 11) as u16, (step % 40) as u8) {
                Status::Idle => {
                    println!("idle in scene {}", player.scene());
                    break;
                }
                Status::Cue(cue) => println!("cue {cue}"),
                Status::Fault => {
                    println!("fault");
                    player.restart();
                }
                Status::Busy => println!("busy"),
            }
        }
    }
}
