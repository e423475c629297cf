//! What a byte sequence did that the data sheet forbids, or leaves open.

/// A fault and where it happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Transaction since power-up, from 1.
    pub transaction: u64,
    /// Byte since power-up, address bytes not counted, from 1; at STOP the last byte before it.
    pub byte: u64,
    /// What was wrong.
    pub kind: FaultKind,
}

/// What was wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FaultKind {
    /// A byte without START, or after the address of another device.
    OutsideTransaction,
    /// A control byte with one of its six low bits set.
    ControlByte(u8),
    /// A command that this controller does not list.
    Prohibited(u8),
    /// A parameter that this controller does not list.
    OutOfRange {
        /// The command.
        command: u8,
        /// Its parameter.
        parameter: u8,
    },
    /// A page or column command while windows are addressed.
    PageCommandInWindowMode(u8),
    /// A window command while pages are addressed.
    WindowCommandInPageMode(u8),
    /// STOP before a command had all its parameters.
    Unfinished {
        /// The command.
        command: u8,
        /// How many parameters are missing.
        missing: u8,
    },
    /// Display data before a command had all its parameters.
    DataForParameter {
        /// The command.
        command: u8,
    },
    /// Display data beyond the last column of a controller whose pointer stops there.
    PastLastColumn,
    /// Page addressing ran past the end of a window set before; the data sheet leaves open where the pointer goes.
    PastForgottenWindow,
    /// Display data or a set-up command while scrolling.
    WhileScrolling,
    /// Scrolling started without having been set up.
    ScrollNotSetUp,
    /// The pump was switched while the display is on.
    PumpWhileOn,
    /// The display was switched on before its pump.
    NoHighVoltage,
    /// A command while the controller is locked.
    Locked(u8),
    /// The crystal would get more than the part bears.
    CrystalVoltage {
        /// The command that sets it.
        command: u8,
        /// The voltage, in millivolts.
        millivolts: u64,
    },
}

impl std::fmt::Display for FaultKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {
            Self::OutsideTransaction => write!(f, "a byte outside of a transaction with this display"),
            Self::ControlByte(byte) => write!(f, "{byte:02X} is not a control byte: its six low bits must be 0"),
            Self::Prohibited(command) => write!(f, "{command:02X} is not a command of this controller"),
            Self::OutOfRange { command, parameter } => {
                write!(f, "{parameter:02X} is not a valid parameter of command {command:02X}")
            }
            Self::PageCommandInWindowMode(command) => {
                write!(f, "command {command:02X} needs page addressing, but the addressing mode (20) uses windows")
            }
            Self::WindowCommandInPageMode(command) => {
                write!(f, "command {command:02X} needs a windowed addressing mode, but page addressing (20) is set")
            }
            Self::Unfinished { command, missing } => {
                write!(f, "the transaction ends before the last {missing} parameters of command {command:02X}")
            }
            Self::DataForParameter { command } => {
                write!(f, "display data where a parameter of command {command:02X} is expected")
            }
            Self::PastLastColumn => write!(f, "display data beyond the last column is lost"),
            Self::PastForgottenWindow => {
                write!(
                    f,
                    "page addressing past the end of an earlier column window (21): the data sheet does not define this"
                )
            }
            Self::WhileScrolling => write!(f, "data or scroll set-up while scrolling can corrupt the display memory"),
            Self::ScrollNotSetUp => write!(f, "scrolling started without set-up"),
            Self::PumpWhileOn => write!(f, "the charge pump may be switched only while the display is off"),
            Self::NoHighVoltage => {
                write!(f, "the display is switched on but its charge pump is not: it stays dark")
            }
            Self::CrystalVoltage { command, millivolts } => {
                write!(
                    f,
                    "command {command:02X} asks for {:.2} V for the crystal, more than this part bears",
                    millivolts as f64 / 1000.0
                )
            }
            Self::Locked(command) => write!(f, "command {command:02X} while the controller is locked (FD)"),
        }
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "transaction {}, byte {}: {}", self.transaction, self.byte, self.kind)
    }
}
