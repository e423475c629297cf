//! The program: hands its arguments to the command line and its outcome to the system.

fn main() -> std::process::ExitCode {
    pageloom::cli::run(std::env::args_os())
}
