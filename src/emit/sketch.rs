//! A sketch for hobby-board environments: the loop around the shows, with a button and the cues, on the I²C or SPI library of the
//! environment.

use super::c::cue_names;
use super::firmware::Firmware;
use super::needs::stem;
use super::sources::SourceFile;
use super::text::comment;

/// Most bytes of one transaction after the address in the I²C library of these environments (common practice).
pub const SKETCH_WRITE_LIMIT: u16 = 32;

/// The name of the folder, which the file with the loop must have too.
pub fn sketch_name(shows: &[Firmware]) -> String {
    let stems: Vec<String> = shows.iter().map(|show| stem(&show.name)).collect();
    format!("{}_sketch", stems.join("_"))
}

/// The file with the loop.
pub fn sketch(shows: &[Firmware]) -> SourceFile {
    let name = format!("{}.ino", sketch_name(shows));
    let names: Vec<String> = shows.iter().map(|show| comment(&show.name)).collect();
    let includes: String = shows.iter().map(|show| format!("#include \"{}.h\"\n", stem(&show.name))).collect();
    let row = |show: &Firmware| {
        let stem = stem(&show.name);
        let size = stem.to_ascii_uppercase();
        format!("  {{ {stem}_reel, {size}_REEL_SIZE, {stem}_display }},\n")
    };
    let rows: String = shows.iter().map(row).collect();
    let has = |what: fn(&Firmware) -> bool| shows.iter().any(what);
    let bus = match (has(|show| show.spi), has(|show| show.nine_bits)) {
        (false, _) => &I2C,
        (true, false) => &SPI,
        (true, true) => &NINE_BITS,
    };
    let several = shows.len() > 1;
    let (next_pin, next_input, next_turn) = if several { (NEXT_PIN, NEXT_INPUT, NEXT_TURN) } else { ("", "", "") };
    let text = LOOP
        .replace("{wiring}", bus.wiring)
        .replace("{own}", &own_code(shows))
        .replace("{library}\n", bus.library)
        .replace("{pins}", bus.pins)
        .replace("{functions}", bus.functions)
        .replace("{hertz}", &bus_hertz(shows).to_string())
        .replace("{begin}", bus.begin)
        .replace("{reset}", bus.reset)
        .replace("{name}", &name)
        .replace("{shows}", &names.join(", "))
        .replace("{includes}", &includes)
        .replace("{rows}", &rows)
        .replace("{cues}", &cues(shows))
        .replace("{next pin}", next_pin)
        .replace("{next input}", next_input)
        .replace("{next turn}", next_turn);
    SourceFile { name, text }
}

/// The parts of the shows for which a person adds code, as lines of the comment at the top.
fn own_code(shows: &[Firmware]) -> String {
    let any = |uses: fn(&Firmware) -> bool| shows.iter().any(uses);
    let parts = [
        any(|show| !show.fields.is_empty()).then_some("live fields (pageloom_field_set)"),
        any(|show| !show.live.is_empty()).then_some("live values (pageloom_set)"),
        any(|show| !show.texts.is_empty()).then_some("live texts (pageloom_set_text)"),
        any(|show| !show.thresholds.is_empty()).then_some("thresholds (pageloom_watch)"),
        any(|show| !show.lamps.is_empty()).then_some("lamps (pageloom_lamp_level)"),
    ];
    let used: Vec<&str> = parts.into_iter().flatten().collect();
    if used.is_empty() {
        return String::new();
    }
    format!(" *\n * Add your own code for {}: pageloom_player.h shows how.\n", used.join(", "))
}

/// The clock of the bus: on SPI the slowest that a show asks for, on I²C that of Fast-mode.
fn bus_hertz(shows: &[Firmware]) -> u32 {
    const FAST_MODE: u32 = 400_000;
    shows.iter().filter(|show| show.spi).map(|show| show.bus_hertz).min().unwrap_or(FAST_MODE)
}

/// A place for each cue of each show.
fn cues(shows: &[Firmware]) -> String {
    let mut text = String::new();
    for (number, show) in shows.iter().enumerate() {
        for cue in cue_names(show) {
            text.push_str(&format!("  if (show == {number} && cue == {cue}) {{\n  }}\n"));
        }
    }
    if text.is_empty() { "  (void)show;\n  (void)cue;\n".to_owned() } else { text }
}

/// What the sketch says of its bus.
struct BusText {
    wiring: &'static str,
    library: &'static str,
    pins: &'static str,
    functions: &'static str,
    begin: &'static str,
    reset: &'static str,
}

const I2C: BusText = BusText {
    wiring: "the display on the I2C pins of the board, with pull-ups to the supply of the display",
    library: "#include <Wire.h>\n",
    pins: "const uint32_t BUS_HERTZ = {hertz};\n",
    functions: r#"// The bus functions of the player: the I2C library collects a transaction and sends it at the end.
extern "C" uint8_t pageloom_bus_start(uint8_t address) {
  Wire.beginTransmission(address);
  return 1;
}

extern "C" uint8_t pageloom_bus_write(uint8_t byte) {
  return Wire.write(byte) == 1;
}

extern "C" uint8_t pageloom_bus_stop(void) {
  return Wire.endTransmission() == 0;
}
"#,
    begin: "  Wire.begin();
  Wire.setClock(BUS_HERTZ);
#ifdef WIRE_HAS_TIMEOUT
  Wire.setWireTimeout(3000, true); // microseconds; without it a stuck bus would stop the firmware
#endif
",
    reset: "",
};

const SPI: BusText = BusText {
    wiring: "the display on the SPI pins of the board (clock and data out), chip select, D/C and reset on the pins below;\n \
             * most LCDs tolerate no more than 3.3 V on any pin",
    library: "#include <SPI.h>\n",
    pins: "const uint8_t SELECT_PIN = 10; // chip select of the display, low while it listens
const uint8_t DATA_PIN = 9;    // D/C of the display: high for data, low for commands
const uint8_t RESET_PIN = 8;   // reset of the display
const uint32_t BUS_HERTZ = {hertz};
",
    functions: r#"// The bus functions of the player.
extern "C" uint8_t pageloom_bus_select(uint8_t data) {
  SPI.beginTransaction(SPISettings(BUS_HERTZ, MSBFIRST, SPI_MODE0));
  digitalWrite(DATA_PIN, data ? HIGH : LOW);
  digitalWrite(SELECT_PIN, LOW);
  return 1;
}

extern "C" uint8_t pageloom_bus_write(uint8_t byte) {
  SPI.transfer(byte);
  return 1;
}

extern "C" uint8_t pageloom_bus_stop(void) {
  digitalWrite(SELECT_PIN, HIGH);
  SPI.endTransaction();
  return 1;
}

// The supervisor calls this before each set-up, and waits after it as long as the display asks.
static void reset_display(void) {
  digitalWrite(RESET_PIN, LOW);
  delay(1);
  digitalWrite(RESET_PIN, HIGH);
}
"#,
    begin: "  pinMode(SELECT_PIN, OUTPUT);
  pinMode(DATA_PIN, OUTPUT);
  pinMode(RESET_PIN, OUTPUT);
  digitalWrite(SELECT_PIN, HIGH);
  digitalWrite(RESET_PIN, HIGH);
  SPI.begin();
",
    reset: "  supervisor.reset = reset_display;\n",
};

const NINE_BITS: BusText = BusText {
    wiring: "the display on 3-wire SPI: clock, data, chip select and reset on the pins below;\n \
             * most LCDs tolerate no more than 3.3 V on any pin",
    library: "",
    pins: "const uint8_t CLOCK_PIN = 13;  // clock of the display
const uint8_t SERIAL_PIN = 11; // data of the display: nine bits a byte, of which the first is D/C
const uint8_t SELECT_PIN = 10; // chip select of the display, low while it listens
const uint8_t RESET_PIN = 8;   // reset of the display
",
    functions: r#"// The bus functions of the player. They move the pins one by one; write to the ports of your part to reach the clock of the script.
static uint8_t data_command;

static void send_bit(uint8_t high) {
  digitalWrite(SERIAL_PIN, high ? HIGH : LOW);
  digitalWrite(CLOCK_PIN, HIGH);
  digitalWrite(CLOCK_PIN, LOW);
}

extern "C" uint8_t pageloom_bus_select(uint8_t data) {
  data_command = data;
  digitalWrite(SELECT_PIN, LOW);
  return 1;
}

extern "C" uint8_t pageloom_bus_write(uint8_t byte) {
  send_bit(data_command);
  for (uint8_t bit = 0x80; bit > 0; bit = (uint8_t)(bit >> 1)) {
    send_bit(byte & bit);
  }
  return 1;
}

extern "C" uint8_t pageloom_bus_stop(void) {
  digitalWrite(SELECT_PIN, HIGH);
  return 1;
}

// The supervisor calls this before each set-up, and waits after it as long as the display asks.
static void reset_display(void) {
  digitalWrite(RESET_PIN, LOW);
  delay(1);
  digitalWrite(RESET_PIN, HIGH);
}
"#,
    begin: "  pinMode(CLOCK_PIN, OUTPUT);
  pinMode(SERIAL_PIN, OUTPUT);
  pinMode(SELECT_PIN, OUTPUT);
  pinMode(RESET_PIN, OUTPUT);
  digitalWrite(SELECT_PIN, HIGH);
  digitalWrite(RESET_PIN, HIGH);
",
    reset: "  supervisor.reset = reset_display;\n",
};

const NEXT_PIN: &str =
    "const uint8_t NEXT_PIN = 3;   // a button to ground: starts the next show\nstatic uint8_t next_looks;\n";
const NEXT_INPUT: &str = "  pinMode(NEXT_PIN, INPUT_PULLUP);\n";
const NEXT_TURN: &str = "  if (was_pressed(NEXT_PIN, next_looks, looks_now)) {\n    \
    begin_show((uint8_t)((playing + 1) % (sizeof shows / sizeof shows[0])));\n  }\n";

const LOOP: &str = r#"/*
 * {name} - plays: {shows}. Written by pageloom; edit it as you like. To rebuild the shows into this folder, run
 * `pageloom build SHOW.ron --out FOLDER`, which does not change this file.
 *
 * Wiring: {wiring}; a button from pin 2 to ground.
{own} */
{library}
{includes}
const uint8_t BUTTON_PIN = 2; // closes to ground: raises the show's first trigger
{pins}{next pin}const uint8_t ALLOWANCE = 16;  // largest number of bytes on the bus per call
const uint8_t REFRESH_SECONDS = 10;
// A button counts as pressed after this many samples in a row, this many milliseconds apart.
const uint8_t LOOKS = 4;
const uint8_t LOOK_MILLISECONDS = 5;

struct ShowEntry {
  const uint8_t *reel;
  uint16_t size;
  const uint8_t *display;
};

static const ShowEntry shows[] = {
{rows}};

pageloom_player player;
static pageloom_supervisor supervisor;
static uint8_t playing, button_looks;

// What a cue does: start a sound, switch a lamp on. It must not block.
static void on_cue(uint8_t show, uint8_t cue) {
{cues}}

{functions}
// Sets up the display and plays a show from its start.
static void begin_show(uint8_t number) {
  playing = number;
  pageloom_start(&player, shows[playing].reel, shows[playing].size);
  pageloom_supervise_start(&supervisor, &player, shows[playing].display);
{reset}  supervisor.every = REFRESH_SECONDS;
}

// Whether a button has just been pressed, by enough samples in a row.
static bool was_pressed(uint8_t pin, uint8_t &looks, bool looks_now) {
  if (!looks_now) {
    return false;
  }
  if (digitalRead(pin) != LOW) {
    looks = 0;
    return false;
  }
  if (looks > LOOKS) {
    return false;
  }
  looks++;
  return looks == LOOKS;
}

void setup() {
  pinMode(BUTTON_PIN, INPUT_PULLUP);
{next input}{begin}  begin_show(0);
}

void loop() {
  static uint16_t looked;
  uint16_t now = (uint16_t)millis();
  bool looks_now = (uint16_t)(now - looked) >= LOOK_MILLISECONDS;

  if (looks_now) {
    looked = now;
  }
  if (was_pressed(BUTTON_PIN, button_looks, looks_now)) {
    pageloom_trigger(&player, 0);
  }
{next turn}  if (pageloom_supervise(&supervisor, now, ALLOWANCE) == PAGELOOM_CUE) {
    on_cue(playing, player.cue);
  }
  // The rest of your loop; it must not block.
}
"#;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::emit::FirmwareLive;

    #[test]
    fn a_sketch_names_the_parts_that_need_code_of_its_owner() {
        let live = FirmwareLive { name: "level".into(), lowest: 0, highest: 9, start: 0 };
        let show = Firmware { name: "tank".into(), live: vec![live], ..Firmware::default() };
        assert!(sketch(&[show]).text.contains("Add your own code for live values (pageloom_set): "));
        let plain = Firmware { name: "tank".into(), ..Firmware::default() };
        assert!(!sketch(&[plain]).text.contains("own code"));
    }
}
