//! `daywork start DIR`: a new diary that presses clean, with comments that teach.

use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use rust_embed::RustEmbed;

use super::{Exit, Failure, print_plain};

/// The files of a new diary.
#[derive(RustEmbed)]
#[folder = "content/starter"]
struct Starter;

/// The arguments of `start`.
#[derive(Debug, Args)]
pub struct StartArgs {
    /// The folder to make; it must be new or empty
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Runs the command.
pub fn run(args: &StartArgs) -> Result<Exit, Failure> {
    let folder = &args.folder;
    let doing = |path: &Path| format!("making {}", path.display());
    match fs::read_dir(folder) {
        Ok(mut entries) => {
            if entries.next().is_some() {
                return Err(Failure::NotEmpty(folder.clone()));
            }
        }
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => {}
        Err(cause) if cause.kind() == io::ErrorKind::NotADirectory => {
            return Err(Failure::NotEmpty(folder.clone()));
        }
        Err(cause) => {
            return Err(Failure::Io {
                doing: doing(folder),
                cause,
            });
        }
    }
    let mut paths: Vec<String> = Starter::iter().map(|path| path.to_string()).collect();
    paths.sort_unstable();
    // diary.yaml makes the folder a diary, so it comes last: a start that is cut short is seen to be none.
    paths.sort_by_key(|path| path == "diary.yaml");
    for path in &paths {
        let file = Starter::get(path).expect("iter gave this path");
        let target = folder.join(path);
        write_new(&target, &file.data).map_err(|cause| Failure::Io {
            doing: doing(&target),
            cause,
        })?;
    }
    let shown = folder.display();
    print_plain(&format!(
        "A new diary stands in {shown}.\n\
         Open diary.yaml first and put your own name and rates in it; jobs/ holds one log to copy.\n\
         Then: daywork inspect --diary {shown}    says what is wrong or missing\n      \
         daywork press --diary {shown}      makes out/site for readers and out/office for you\n"
    ))?;
    Ok(Exit::Done)
}

/// Never writes over a file that appeared in the meantime.
fn write_new(target: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = target.parent() {
        fs::create_dir_all(parent)?;
    }
    let mut file = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(target)?;
    file.write_all(bytes)
}
