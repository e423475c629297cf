//! The configuration of the player: the union of what the shows of one firmware need, in C and in Rust; and reading it again.

use super::needs::{Needs, PARTS, PictureSize, PlayerPart};
use super::text::{comment, listed};
use crate::panel::{Core, supervisor_code_on};

/// The name of the file in C.
pub const C_CONFIG: &str = "pageloom_config.h";
/// The beginning of each line of it that says what a show needs.
const SHOW_LINE: &str = " * show ";
/// The parts that come with a number.
const AREAS: &str = "AREAS";
const LIVE: &str = "LIVE";
const HISTORY: &str = "HISTORY";
/// Of a player, that its show has no live values.
const NO_VALUES: &str = "None";
/// What stands in that line for a show that needs no part.
const NO_PART: &str = "-";

/// What the shows of one firmware need together.
pub struct Config<'a> {
    shows: &'a [Needs],
}

impl<'a> Config<'a> {
    /// The union of what these shows need; all that draw on a copy of the picture do so on one of the same size.
    pub fn of(shows: &'a [Needs]) -> Self {
        Self { shows }
    }

    fn picture(&self) -> Option<PictureSize> {
        self.shows.iter().find_map(|show| show.picture)
    }

    fn needed_by(&self, part: &PlayerPart) -> Vec<&str> {
        self.shows.iter().filter(|show| show.has(part.name)).map(|show| show.show.as_str()).collect()
    }

    fn has(&self, name: &str) -> bool {
        self.shows.iter().any(|show| show.has(name))
    }

    /// The highest number that a part comes with; `None` for one that comes with none.
    fn number(&self, name: &str) -> Option<u16> {
        self.shows.iter().filter_map(|show| show.number(name)).max()
    }

    fn any_lean(&self) -> bool {
        self.shows.iter().any(Needs::is_lean)
    }

    /// `pageloom_config.h`.
    pub fn c(&self) -> String {
        let shows: String = self.shows.iter().map(|show| format!("{SHOW_LINE}{}\n", show_words(show))).collect();
        let mut text = format!(
            "/*\n * {C_CONFIG} - parts of the player that the shows of this firmware need, written by `pageloom build`:\n *\n\
             {shows} *\n * Flash and RAM of each part are bytes on an 8-bit AVR. To change this file, build all shows of the firmware in one\n \
             * command, or one by one into the same folder. A show that needs a part not defined here does not compile.\n */\n\
             #ifndef PAGELOOM_CONFIG_H\n#define PAGELOOM_CONFIG_H\n\n"
        );
        for part in &PARTS {
            let (needed_by, (flash, ram)) = (self.needed_by(part), part.cost_on_avr());
            let who = if needed_by.is_empty() { "no show here".to_owned() } else { comment(&listed(&needed_by)) };
            text.push_str(&format!(
                "/* A show that {}: {flash} of flash, {ram} of RAM. Needed by {who}. */\n",
                part.has
            ));
            text.push_str(&match (needed_by.is_empty(), self.number(part.name)) {
                (true, _) => format!("/* #define PAGELOOM_{} */\n\n", part.name),
                (false, Some(number)) => format!("#define PAGELOOM_{} {number}\n\n", part.name),
                (false, None) => format!("#define PAGELOOM_{}\n\n", part.name),
            });
        }
        if let Some((columns, pages)) = self.picture() {
            let row = columns.div_ceil(8) + 1;
            let marks = if self.has("DENSE") { row * (pages + 2) + 1 } else { 2 * row };
            let bytes = columns * pages + marks;
            text.push_str(&format!(
                "/* The picture copy: {columns} columns, {pages} pages of eight rows; {bytes} bytes of RAM. */\n\
                 #define PAGELOOM_COLUMNS {columns}\n#define PAGELOOM_PAGES {pages}\n\n"
            ));
            if self.any_lean() {
                text.push_str(
                    "/* Other shows play without a picture copy. This adds the instructions that they need. */\n\
                     #define PAGELOOM_BOTH\n\n",
                );
            }
        }
        let supervisor = supervisor_code_on(Core::Avr);
        text.push_str(&format!(
            "/* pageloom_supervise: waits after power-up, restarts after bus faults, refreshes the registers. {} of flash, {} of RAM,\n \
             * and {} of stack while it calls the player.\n \
             * A linker that removes unused functions removes it when it is not called. */\n#define PAGELOOM_SUPERVISOR\n\n",
            supervisor.flash.0, supervisor.ram.0, supervisor.stack.0
        ));
        text + "#endif\n"
    }

    /// `pageloom_config.rs`.
    pub fn rust(&self) -> String {
        let names: Vec<&str> = self.shows.iter().map(|show| show.show.as_str()).collect();
        let mut text = format!(
            "//! Parts of the player that the shows of this firmware need ({}), written by `pageloom build`.\n\
             #![allow(dead_code)]\n\nuse super::pageloom_player as player;\n",
            comment(&listed(&names))
        );
        for part in &PARTS {
            text.push_str(&format!(
                "\n/// Whether a show {}.\npub const {}: bool = {};\n",
                part.has,
                part.name,
                self.has(part.name)
            ));
        }
        text.push_str(&format!(
            "\n/// Whether a show plays without a picture copy.\npub const LEAN: bool = {};\n",
            self.any_lean()
        ));
        let (columns, pages) = self.picture().unwrap_or((0, 0));
        text.push_str(&format!(
            "\n/// Columns and pages of the picture copy; 0 without one.\npub const PICTURE: (u8, u8) = ({columns}, {pages});\n"
        ));
        let (kind, begun) = self.keeps();
        text + &format!(
            "\n/// What the player of any of these shows keeps.\n#[rustfmt::skip]\npub type Extension = {kind};\n\n\
             /// A player of any of these shows.\npub type ShowPlayer = player::player::Player<'static, Extension>;\n\n\
             /// The player at the start of a reel.\n#[must_use]\n#[rustfmt::skip]\npub const fn show_player(reel: &'static [u8]) -> ShowPlayer {{\n    \
             player::player::Player::keeping(reel, {begun})\n}}\n"
        ) + &self.live_player(&begun)
    }

    /// The live values of a show and its player in Rust; nothing where no show has any.
    fn live_player(&self, begun: &str) -> String {
        let Some(live) = self.number(LIVE).filter(|_| self.has(LIVE)) else { return String::new() };
        format!(
            "\n/// The live values of a show.\npub type LiveValues = player::live::LiveValues<{live}>;\n\n\
             /// The player of a show with live values at the start of its reel.\n#[must_use]\n#[rustfmt::skip]\n\
             pub const fn live_player(reel: &'static [u8], live: &'static LiveValues) -> ShowPlayer {{\n    \
             player::player::Player::keeping(reel, {})\n}}\n",
            begun.replace(NO_VALUES, "Some(live)")
        )
    }

    /// The Rust type of what the player keeps, and how one begins.
    fn keeps(&self) -> (String, String) {
        let copy = |part: &str, kind: &str, marks_of: fn(u32, u32) -> u32| {
            let (columns, pages) = self.picture().filter(|_| self.has(part))?;
            let (cells, marks) = (columns * pages, marks_of(columns.div_ceil(8), pages));
            Some((format!("player::{kind}<{cells}, {marks}>"), format!("player::{kind}::new()")))
        };
        let picture = copy("DENSE", "dense::Picture", |bytes, pages| bytes * pages);
        let film = copy("FILM", "film::Film", |bytes, _| bytes);
        let (areas, live) = (self.number(AREAS).unwrap_or(0), self.number(LIVE).unwrap_or(0));
        let kept =
            self.number(HISTORY).filter(|_| self.has(HISTORY)).map(|kept| format!(", {kept}")).unwrap_or_default();
        let areas = if self.has(LIVE) {
            format!(
                "area::Areas<{areas}, player::live::Watched<Option<&'static player::live::LiveValues<{live}>>, {areas}, {live}{kept}>>"
            )
        } else {
            format!("area::Areas<{areas}>")
        };
        let lean = [("BEAM", "turn::Turning"), ("ROLLS", "roll::Rolls")]
            .into_iter()
            .filter(|(name, _)| self.any_lean() && self.has(name))
            .map(|(_, kind)| (format!("player::{kind}"), format!("player::{kind}::new()")));
        let areas = self.has(AREAS).then(|| {
            let following = || format!("player::area::Areas::following(player::live::Watched::new({NO_VALUES}))");
            let begun = if self.has(LIVE) { following() } else { "player::area::Areas::new()".to_owned() };
            (format!("player::{areas}"), begun)
        });
        let over = |(copy, new): (String, String), (areas, also): (String, String)| {
            (
                format!("player::over::CopyWithAreas<{copy}, {areas}>"),
                format!("player::over::CopyWithAreas::new({new}, {also})"),
            )
        };
        let both = |(one, new): (String, String), (other, also): (String, String)| {
            (format!("player::bus::Chain<{one}, {other}>"), format!("player::bus::Chain::new({new}, {also})"))
        };
        let plain = || ("player::player::Lean".to_owned(), "player::player::Lean".to_owned());
        let dimming = self.number(LIVE).filter(|_| self.has("DIMS")).map(|live| {
            let values = format!("Option<&'static player::live::LiveValues<{live}>>");
            (format!("player::dim::Dimming<{values}>"), format!("player::dim::Dimming::new({NO_VALUES})"))
        });
        let copy = picture.into_iter().chain(film).reduce(both);
        let drawn = match (copy, areas) {
            (Some(copy), Some(areas)) => Some(over(copy, areas)),
            (copy, areas) => copy.or(areas),
        };
        drawn.into_iter().chain(lean).chain(dimming).reduce(both).unwrap_or_else(plain)
    }
}

/// What a show needs, as the configuration keeps it for builds to come.
fn show_words(show: &Needs) -> String {
    let parts = PARTS.iter().filter(|part| show.has(part.name)).map(|part| match show.number(part.name) {
        Some(number) => format!("{}={number}", part.name),
        None => part.name.to_owned(),
    });
    let size = show.picture.map(|(columns, pages)| format!("{columns}x{pages}"));
    let words: Vec<String> = parts.chain(size).collect();
    let words = if words.is_empty() { NO_PART.to_owned() } else { words.join(" ") };
    format!("{}: {words}", show.show)
}

/// What a `pageloom_config.h` was made for; `None` if it is not one of this version.
pub fn read_config(text: &str) -> Option<Vec<Needs>> {
    let ours = text.starts_with(&format!("/*\n * {C_CONFIG} - "));
    let shows: Option<Vec<Needs>> =
        text.lines().filter_map(|line| line.strip_prefix(SHOW_LINE)).map(read_show).collect();
    shows.filter(|shows| ours && !shows.is_empty())
}

fn read_show(line: &str) -> Option<Needs> {
    let (show, words) = line.split_once(": ")?;
    let mut needs = Needs {
        show: show.to_owned(),
        stem: super::needs::stem(show),
        parts: [false; PARTS.len()],
        areas: 0,
        live: 0,
        history: 0,
        picture: None,
    };
    for word in words.split_whitespace().filter(|word| *word != NO_PART) {
        let (word, number) = word.split_once('=').unwrap_or((word, "0"));
        match word {
            AREAS => needs.areas = number.parse().ok()?,
            LIVE => needs.live = number.parse().ok()?,
            HISTORY => needs.history = number.parse().ok()?,
            _ => {}
        }
        match PARTS.iter().position(|part| part.name == word) {
            Some(at) => needs.parts[at] = true,
            None => {
                let (columns, pages) = word.split_once('x')?;
                needs.picture = Some((columns.parse().ok()?, pages.parse().ok()?));
            }
        }
    }
    Some(needs)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::emit::Firmware;
    use crate::panel::PlayerParts;

    fn shows() -> [Needs; 3] {
        let lean = Firmware {
            name: "mast".into(),
            parts: PlayerParts { rolls: true, ..PlayerParts::NONE },
            ..Firmware::default()
        };
        let dense = Firmware { name: "Helm-2".into(), picture: Some((72, 5)), ..Firmware::default() };
        let plain = Firmware { name: "sign".into(), ..Firmware::default() };
        [lean, dense, plain].map(|firmware| Needs::of(&firmware))
    }

    #[test]
    fn what_is_written_is_read_again() {
        let shows = shows();
        assert_eq!(read_config(&Config::of(&shows).c()), Some(shows.to_vec()));
        assert_eq!(read_config("#define PAGELOOM_BEAM\n"), None);
        assert_eq!(read_config(&Config::of(&shows).c().replace(" ROLLS", " FOLDS")), None);
    }

    #[test]
    fn the_configuration_is_the_union() {
        let shows = shows();
        let text = Config::of(&shows).c();
        for line in
            ["#define PAGELOOM_ROLLS", "#define PAGELOOM_DENSE", "#define PAGELOOM_BOTH", "#define PAGELOOM_PAGES 5"]
        {
            assert!(text.lines().any(|known| known == line), "{line}:\n{text}");
        }
        assert!(text.contains("/* #define PAGELOOM_BEAM */\n") && text.contains("Needed by Helm-2. */"), "{text}");
        let text = Config::of(&shows).rust();
        let both = "player::bus::Chain<player::dense::Picture<360, 45>, player::roll::Rolls>";
        assert!(text.contains(&format!("pub type Extension = {both};")), "{text}");
        assert!(Config::of(&shows[2..]).rust().contains("pub type Extension = player::player::Lean;"));
    }
}
