//! A library for package managers of C firmware: sources in `src`, and what the managers read, as JSON and as properties.

use super::firmware::Firmware;
use super::json::json;
use super::needs::stem;
use super::sources::SourceFile;
use super::text::{comment, listed};
use serde::Serialize;

/// The keys that managers of C libraries read in common.
#[derive(Serialize)]
struct Manifest {
    name: String,
    version: &'static str,
    description: String,
    keywords: [&'static str; 3],
    headers: Vec<String>,
    frameworks: &'static str,
    platforms: &'static str,
}

/// What the first version of a person's library is called.
const VERSION: &str = "0.1.0";

/// The name of the library and of its folder.
pub fn library_name(shows: &[Firmware]) -> String {
    let stems: Vec<String> = shows.iter().map(|show| stem(&show.name)).collect();
    format!("{}_library", stems.join("_"))
}

/// Returns the two manifests, which belong next to the folder `src`. `Err` says why this is not possible.
pub fn manifests(shows: &[Firmware]) -> Result<[SourceFile; 2], String> {
    let names: Vec<&str> = shows.iter().map(|show| show.name.as_str()).collect();
    let (name, headers) = (library_name(shows), shows.iter().map(|show| format!("{}.h", stem(&show.name))));
    let description = format!("Display animations: {}", comment(&listed(&names)));
    let headers: Vec<String> = headers.collect();
    let properties = format!(
        "name={name}\nversion={VERSION}\nauthor=\nmaintainer=\nsentence={description}\nparagraph=Made by pageloom from show scripts.\n\
         category=Display\nurl=\narchitectures=*\nincludes={}\n",
        headers.join(",")
    );
    let keywords = ["display", "animation", "oled"];
    let manifest = Manifest { name, version: VERSION, description, keywords, headers, frameworks: "*", platforms: "*" };
    let manifest = json(&manifest)?;
    Ok([
        SourceFile { name: "library.json".into(), text: manifest },
        SourceFile { name: "library.properties".into(), text: properties },
    ])
}
