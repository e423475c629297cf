//! The source files of a firmware: each show's own data and names, the player once, and its configuration.

use super::c::c;
use super::config::{C_CONFIG, Config};
use super::firmware::Firmware;
use super::needs::Needs;
use super::rust::rust;
use crate::diag::{Finding, Place};
use crate::player::{RUST_I2C, RUST_NINE_BITS, RUST_SPI, c_header, c_source, rust_source};

/// A text file of a firmware, by its name in the folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// The name, such as `helm.c`.
    pub name: String,
    /// What it holds.
    pub text: String,
}

/// What the player's files are called in every firmware, so no show may be.
const PLAYER_STEM: &str = "pageloom";
/// Names that firmware's own files usually have.
const TAKEN: &[&str] = &["main", "lib"];

/// The files of a firmware with these shows, and with others that were built before and whose files are there already.
///
/// # Errors
/// Says which shows cannot be in one firmware, and why.
pub fn firmware_sources(shows: &[Firmware], built_before: &[Needs]) -> Result<Vec<SourceFile>, Vec<Finding>> {
    let mut needs: Vec<Needs> = shows.iter().map(Needs::of).chain(built_before.iter().cloned()).collect();
    let clashes = clashes(&needs);
    if !clashes.is_empty() {
        return Err(clashes);
    }
    needs.sort_by(|one, other| one.show.cmp(&other.show));
    let config = Config::of(&needs);
    let mut files = Vec::new();
    let mut add = |name: String, text: String| files.push(SourceFile { name, text });
    for show in shows {
        let stem = super::needs::stem(&show.name);
        let source = c(show);
        add(format!("{stem}.c"), source.source);
        add(format!("{stem}.h"), source.header);
        add(format!("{stem}.rs"), rust(show));
    }
    add("pageloom_player.c".into(), c_source());
    add("pageloom_player.h".into(), c_header());
    add("pageloom_player.rs".into(), rust_source());
    if needs.iter().any(|show| show.has("SPI")) {
        add("pageloom_spi.rs".into(), RUST_SPI.to_owned());
        if needs.iter().any(|show| show.has("NINE_BITS")) {
            add("pageloom_nine_bits.rs".into(), RUST_NINE_BITS.to_owned());
        }
    } else {
        add("pageloom_i2c.rs".into(), RUST_I2C.to_owned());
    }
    add(C_CONFIG.into(), config.c());
    add("pageloom_config.rs".into(), config.rust());
    Ok(files)
}

/// Why shows cannot be in one firmware.
fn clashes(shows: &[Needs]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (at, show) in shows.iter().enumerate() {
        if show.stem.starts_with(PLAYER_STEM) || TAKEN.contains(&show.stem.as_str()) {
            let message = format!("the show `{}` would overwrite the files {}.c and .h", show.show, show.stem);
            findings.push(Finding::error(Place::Nowhere, message).hint("give the show another `name`"));
        }
        for other in &shows[..at] {
            findings.extend(clash(other, show));
        }
    }
    findings
}

fn clash(one: &Needs, other: &Needs) -> Option<Finding> {
    if one.stem == other.stem {
        let message =
            format!("the shows `{}` and `{}` would both be written to {}.c and .h", one.show, other.show, one.stem);
        return Some(
            Finding::error(Place::Nowhere, message)
                .hint("give one of them another `name`, or use another folder with --out"),
        );
    }
    if one.has("SPI") != other.has("SPI") {
        let (spi, i2c) = if one.has("SPI") { (one, other) } else { (other, one) };
        let message = format!("`{}` is shown over SPI and `{}` over I²C; a firmware has one bus", spi.show, i2c.show);
        let hint = "write the same kind of `bus` in both scripts, or build them into two folders for two firmwares";
        return Some(Finding::error(Place::Nowhere, message).hint(hint));
    }
    if one.has("NINE_BITS") != other.has("NINE_BITS") {
        let (nine, eight) = if one.has("NINE_BITS") { (one, other) } else { (other, one) };
        let message = format!(
            "`{}` sends nine bits a byte and `{}` has a D/C line; a firmware has one bus",
            nine.show, eight.show
        );
        let hint = "write the same `data_command` in both scripts, or build them into two folders for two firmwares";
        return Some(Finding::error(Place::Nowhere, message).hint(hint));
    }
    let (first, second) = (one.picture?, other.picture?);
    let size = |(columns, pages): (u32, u32)| format!("{columns}×{}", pages * 8);
    (first != second).then(|| {
        let message = format!(
            "`{}` needs a picture copy of {}, `{}` one of {}; a firmware has only one picture copy",
            one.show,
            size(first),
            other.show,
            size(second)
        );
        Finding::error(Place::Nowhere, message)
            .hint("write `profile: Lean` in one of the scripts, or build them into two folders as two firmwares")
    })
}
