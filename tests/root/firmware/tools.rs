//! Runs the compilers and simulators that these tests need, and names the one that is missing.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// What each tool is installed as on Debian.
const PACKAGES: &[(&str, &str)] = &[
    ("cc", "gcc"),
    ("clang", "clang"),
    ("avr-gcc", "gcc-avr and avr-libc"),
    ("avr-size", "binutils-avr"),
    ("avr-nm", "binutils-avr"),
    ("arm-none-eabi-gcc", "gcc-arm-none-eabi"),
    ("arm-none-eabi-size", "binutils-arm-none-eabi"),
    ("qemu-system-arm", "qemu-system-arm"),
];

/// The project's own folder.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// An empty folder of this name for what a test builds.
pub fn workshop(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("firmware").join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    }
    std::fs::create_dir_all(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    folder
}

/// What a tool printed and how it ended.
#[derive(Debug)]
pub struct Ran {
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
    /// Exit code; none if a signal ended it.
    pub code: Option<i32>,
}

impl Ran {
    /// The output of a run that ended well; a failure shows what the tool said.
    pub fn good(self, what: &str) -> String {
        assert_eq!(self.code, Some(0), "{what} failed:\n{}{}", self.out, self.err);
        self.out
    }
}

/// Runs `tool` with `input` on its standard input.
pub fn run(tool: impl AsRef<OsStr>, arguments: &[&OsStr], input: &str) -> Ran {
    let tool = tool.as_ref();
    let started =
        Command::new(tool).args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
    let mut child = started.unwrap_or_else(|error| panic!("{}", missing(&tool.to_string_lossy(), &error)));
    let mut stdin = child.stdin.take().expect("standard input is piped");
    let text = input.to_owned();
    // In a thread of its own, so that a tool that prints while it reads cannot stop both sides; it may also end early.
    let writer = std::thread::spawn(move || drop(stdin.write_all(text.as_bytes())));
    let output = child.wait_with_output().expect("the tool was started");
    writer.join().expect("writing does not panic");
    Ran {
        out: String::from_utf8_lossy(&output.stdout).into_owned(),
        err: String::from_utf8_lossy(&output.stderr).into_owned(),
        code: output.status.code(),
    }
}

fn missing(tool: &str, error: &std::io::Error) -> String {
    let package = PACKAGES.iter().find(|row| row.0 == tool).map_or(String::new(), |row| {
        format!("; on Debian it comes with {}, and tests/run.sh installs it where it may", row.1)
    });
    format!("the tests need {tool}: {error}{package}")
}

/// Compiles with all warnings as errors; `arguments` are separated by blanks, paths follow apart.
pub fn compile(compiler: &str, arguments: &str, paths: &[&Path]) {
    let mut all: Vec<&OsStr> = arguments.split_whitespace().map(OsStr::new).collect();
    all.extend(paths.iter().map(|path| path.as_os_str()));
    let ran = run(compiler, &all, "");
    assert_eq!(ran.code, Some(0), "{compiler} {arguments} {paths:?}:\n{}{}", ran.out, ran.err);
}
