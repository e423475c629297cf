//! Which line of a capture is which wire: as asked for, or by its name.

use super::trace::Trace;
use crate::diag::{Finding, Place};
use crate::panel::{DataCommand, Wires};

/// A wire of the display.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    I2cClock,
    I2cData,
    SpiClock,
    SpiData,
    DataCommand,
    Select,
}

/// For each role its option and the names that lines of that kind have (common practice).
const ROLES: [(Role, &str, &[&str]); 6] = [
    (Role::I2cClock, "--scl", &["scl"]),
    (Role::I2cData, "--sda", &["sda"]),
    (Role::SpiClock, "--clk", &["sck", "sclk", "clk", "clock", "d0"]),
    (Role::SpiData, "--mosi", &["mosi", "sdi", "din", "si", "d1", "copi", "data"]),
    (Role::DataCommand, "--dc", &["dc", "d/c", "d/c#", "dcx", "a0", "rs", "cd"]),
    (Role::Select, "--cs", &["cs", "cs#", "ce", "ss", "nss", "csn", "csx", "sce"]),
];

/// The columns that the person gave.
#[derive(Clone, Debug, Default)]
pub struct Given {
    /// The clock of I²C.
    pub scl: Option<String>,
    /// The data of I²C.
    pub sda: Option<String>,
    /// The clock of SPI.
    pub clk: Option<String>,
    /// The data of SPI.
    pub mosi: Option<String>,
    /// The line that separates commands from display data.
    pub dc: Option<String>,
    /// The chip select.
    pub cs: Option<String>,
}

impl Given {
    fn name(&self, role: Role) -> Option<&str> {
        let name = match role {
            Role::I2cClock => &self.scl,
            Role::I2cData => &self.sda,
            Role::SpiClock => &self.clk,
            Role::SpiData => &self.mosi,
            Role::DataCommand => &self.dc,
            Role::Select => &self.cs,
        };
        name.as_deref()
    }
}

/// The lines of a display in a trace, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DisplayLines {
    /// The lines of I²C.
    I2c {
        /// The clock.
        clock: usize,
        /// The data.
        data: usize,
    },
    /// The lines of SPI.
    Spi(SpiLines),
}

/// The lines of a display on SPI, by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpiLines {
    pub clock: usize,
    pub data: usize,
    /// D/C; none on 3-wire SPI, where each byte has a bit for it.
    pub data_command: Option<usize>,
    pub select: Option<usize>,
}

impl DisplayLines {
    /// Finds them in a trace; `wires` are those of the show, if a show is given. Without one, SPI whose capture has chip select and no
    /// D/C line is taken to have 3 wires.
    ///
    /// # Errors
    /// Names a line that is missing or never changes.
    pub fn find(trace: &Trace, given: &Given, wires: Option<Wires>) -> Result<Self, Finding> {
        let line = |role| line(trace, given, role);
        let asked_spi = [&given.clk, &given.mosi, &given.dc, &given.cs].iter().any(|name| name.is_some());
        let asked_i2c = given.scl.is_some() || given.sda.is_some();
        let by_name = line(Role::I2cClock)?.is_none() && line(Role::SpiClock)?.is_some();
        let spi = wires.map(|wires| matches!(wires, Wires::Spi { .. }));
        if spi.unwrap_or(asked_spi || !asked_i2c && by_name) {
            let (data_command, select) = (line(Role::DataCommand)?, line(Role::Select)?);
            let has_bit = match wires {
                Some(Wires::Spi { data_command }) => data_command == DataCommand::Bit,
                _ => data_command.is_none() && select.is_some(),
            };
            let data_command = if has_bit { None } else { Some(present(trace, Role::DataCommand, data_command)?) };
            return Ok(Self::Spi(SpiLines {
                clock: moving(trace, Role::SpiClock, line(Role::SpiClock)?)?,
                data: present(trace, Role::SpiData, line(Role::SpiData)?)?,
                data_command,
                select,
            }));
        }
        let lines = Self::I2c {
            clock: moving(trace, Role::I2cClock, line(Role::I2cClock)?)?,
            data: present(trace, Role::I2cData, line(Role::I2cData)?)?,
        };
        Ok(lines)
    }
}

fn option(role: Role) -> &'static str {
    ROLES.iter().find(|row| row.0 == role).map_or("", |row| row.1)
}

/// The line of a role: the one given, which must be there, or one with a usual name.
fn line(trace: &Trace, given: &Given, role: Role) -> Result<Option<usize>, Finding> {
    if let Some(name) = given.name(role) {
        let found = trace.names.iter().position(|known| known.eq_ignore_ascii_case(name));
        return found.map(Some).ok_or_else(|| {
            let message = format!("the capture has no line `{name}` ({})", option(role));
            Finding::error(Place::Nowhere, message).hint(format!("its lines are {}", listed(trace)))
        });
    }
    let names = ROLES.iter().find(|row| row.0 == role).map_or(&[][..], |row| row.2);
    let matches =
        |known: &String, name: &&str| known.rsplit(['.', ' ', '_']).any(|part| part.eq_ignore_ascii_case(name));
    let exactly = |known: &String, name: &&str| known.eq_ignore_ascii_case(name);
    let first = |like: &dyn Fn(&String, &&str) -> bool| {
        names.iter().find_map(|name| trace.names.iter().position(|known| like(known, name)))
    };
    Ok(first(&exactly).or_else(|| first(&matches)))
}

fn listed(trace: &Trace) -> String {
    let edges = |at: usize| trace.edges(at).len().saturating_sub(1);
    let lines: Vec<String> = trace
        .names
        .iter()
        .enumerate()
        .map(|(at, name)| {
            format!(
                "`{name}` ({})",
                match edges(at) {
                    1 => "1 change".to_owned(),
                    many => format!("{many} changes"),
                }
            )
        })
        .collect();
    lines.join(", ")
}

fn present(trace: &Trace, role: Role, line: Option<usize>) -> Result<usize, Finding> {
    line.ok_or_else(|| {
        let what = match role {
            Role::I2cClock | Role::SpiClock => "clock line",
            Role::I2cData | Role::SpiData => "data line",
            Role::DataCommand => "D/C line, which separates commands from display data",
            Role::Select => "chip select",
        };
        Finding::error(Place::Nowhere, format!("the capture names no {what}")).hint(format!(
            "its lines are {}; say which with {}",
            listed(trace),
            option(role)
        ))
    })
}

fn moving(trace: &Trace, role: Role, line: Option<usize>) -> Result<usize, Finding> {
    let at = present(trace, role, line)?;
    if trace.edges(at).len() > 1 {
        return Ok(at);
    }
    let message = format!("the clock line `{}` never changes", trace.names[at]);
    Err(Finding::error(Place::Nowhere, message)
        .hint(format!("its lines are {}; say which is the clock with {}", listed(trace), option(role)))
        .hint("or check that its probe has contact"))
}
