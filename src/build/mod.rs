//! The whole way as one function: a script in, everything that is made of it out; nothing is printed or written.
//!
//! ```
//! use pageloom::build::BuildOptions;
//!
//! let built = pageloom::build("scenes/helm.ron", &BuildOptions::default());
//! let production = built.production.as_ref().expect("the demo has no faults");
//! assert!(production.choice.fitted.reel.bytes.len() < 14_000);
//! let files = built.files().expect("a show that fits");
//! assert!(files.iter().any(|file| file.path.ends_with("helm.gif") && file.bytes.starts_with(b"GIF89a")));
//! assert!(files.iter().any(|file| file.path.ends_with("helm.c") && file.firmware));
//! ```

mod built;
mod draft;
mod files;
mod firmware;
mod output;
mod page;
mod pictures;
mod production;
mod session;
mod sources;
mod steps;

pub use built::{BuildOptions, Built, build};
pub(crate) use draft::{Draft, DraftMemory, Drawn};
pub use output::OutputFile;
pub(crate) use page::report;
pub(crate) use pictures::{LONGEST_SECONDS, Moment, Style, filmstrip_png, opening, photo_png, preview_gif};
pub use production::{Compiled, Production};
pub(crate) use production::{compiled, produce};
pub(crate) use session::Session;
pub(crate) use sources::firmware_in;
pub use steps::{Silent, Steps};
