//! `daywork start DIR`: a new diary that presses clean, with comments that teach.

use std::fs::{self, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use rust_embed::RustEmbed;

use crate::diary::{schema, store};
use crate::press::{self, ExportFile};

use super::{Exit, Failure, plural, print_plain};

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
    /// Write the schemas for the editor alone, into a diary that is there
    #[arg(long)]
    schemas: bool,
}

/// Where the schemas stand in a diary, whose files say so in a comment.
const SCHEMAS: &str = "schemas";

/// Runs the command.
pub fn run(args: &StartArgs) -> Result<Exit, Failure> {
    let folder = &args.folder;
    if args.schemas {
        return renew_schemas(folder);
    }
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
    let mut files: Vec<(String, Vec<u8>)> = Starter::iter()
        .map(|path| {
            let file = Starter::get(&path).expect("iter gave this path");
            (path.to_string(), file.data.into_owned())
        })
        .chain(schemas())
        .collect();
    // diary.yaml makes the folder a diary, so it comes last: a start that is cut short is seen to be none.
    files.sort_by_key(|(path, _)| (path == "diary.yaml", path.clone()));
    for (path, bytes) in &files {
        let target = folder.join(path);
        write_new(&target, bytes).map_err(|cause| Failure::Io {
            doing: doing(&target),
            cause,
        })?;
    }
    let shown = folder.display();
    print_plain(&format!(
        "A new diary stands in {shown}.\n\
         Open diary.yaml first and put your own name and rates in it; jobs/ holds one log to copy.\n\
         An editor that knows YAML schemas completes and checks both as you type: schemas/ is for it.\n\
         Then: daywork inspect --diary {shown}    says what is wrong or missing\n      \
         daywork press --diary {shown}      makes out/site for readers and out/office for you\n"
    ))?;
    Ok(Exit::Done)
}

/// The schemas, as files of a diary.
fn schemas() -> impl Iterator<Item = (String, Vec<u8>)> {
    schema::all().into_iter().map(|schema| {
        let mut text = serde_json::to_string_pretty(&schema.json)
            .expect("a schema of texts and numbers serializes");
        text.push('\n');
        (format!("{SCHEMAS}/{}", schema.file), text.into_bytes())
    })
}

/// Writes the schemas over those of an earlier version.
fn renew_schemas(folder: &Path) -> Result<Exit, Failure> {
    let folder = store::find(Some(folder), folder)?;
    let files: Vec<ExportFile> = schemas()
        .map(|(path, bytes)| ExportFile {
            path: folder.join(path),
            bytes,
        })
        .collect();
    press::export(&files, &|_, there| {
        serde_json::from_slice::<serde_json::Value>(there)
            .is_ok_and(|there| there.get("$schema").is_some())
    })
    .map_err(Failure::of_files)?;
    print_plain(&format!(
        "Wrote {} into {}.\n",
        plural(files.len(), "schema"),
        folder.join(SCHEMAS).display()
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
