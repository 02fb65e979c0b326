//! Writes the pictures of the guides as SVG files.
//!
//! `cargo run -p hingeline-sheet --example pictures -- docs/pictures`

mod guide;

use std::error::Error;
use std::path::PathBuf;

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).map_or_else(|| PathBuf::from("docs/pictures"), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    for (name, svg) in guide::pictures()? {
        std::fs::write(folder.join(name), svg)?;
    }
    Ok(())
}
