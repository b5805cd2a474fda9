//! `daywork manual DIR`: man pages and completions, from the same definitions that read the command line.

use std::path::PathBuf;

use clap::{Args, CommandFactory, ValueEnum};
use clap_complete::{Generator, Shell, generate};
use clap_mangen::Man;

use crate::press::{self, ExportFile};

use super::{Command, Exit, Failure, print_plain};

/// The arguments of `manual`.
#[derive(Debug, Args)]
pub struct ManualArgs {
    /// The folder to write man/man1/ and completions/ into
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Runs the command.
pub fn run(args: &ManualArgs) -> Result<Exit, Failure> {
    let mut files = pages().map_err(Failure::output)?;
    files.extend(completions());
    let files: Vec<ExportFile> = files
        .into_iter()
        .map(|(path, bytes)| ExportFile {
            path: args.folder.join(path),
            bytes,
        })
        .collect();
    // What another version wrote speaks of the program too.
    let is_own = |_: &ExportFile, there: &[u8]| there.windows(7).any(|word| word == b"daywork");
    press::export(&files, &is_own).map_err(Failure::of_files)?;
    let folder = args.folder.display();
    print_plain(&format!(
        "Wrote man pages and completions into {folder}.\n\
         Man pages:  man -M {folder}/man daywork, or copy man/man1 to ~/.local/share/man/man1\n\
         bash:       copy completions/daywork.bash to ~/.local/share/bash-completion/completions/daywork\n\
         zsh:        copy completions/_daywork into a folder of $fpath\n\
         fish:       copy completions/daywork.fish to ~/.config/fish/completions/daywork.fish\n\
         PowerShell: run completions/_daywork.ps1 from your $PROFILE\n\
         Elvish:     use completions/daywork.elv from ~/.config/elvish/rc.elv\n"
    ))?;
    Ok(Exit::Done)
}

/// A man page for the program and one for each command.
fn pages() -> std::io::Result<Vec<(PathBuf, Vec<u8>)>> {
    let mut whole = Command::command().disable_help_subcommand(true);
    whole.build();
    let commands = whole.get_subcommands().cloned().collect::<Vec<_>>();
    std::iter::once(whole)
        .chain(commands)
        .map(|command| {
            let man = Man::new(command);
            let mut bytes = Vec::new();
            man.render(&mut bytes)?;
            Ok((PathBuf::from("man/man1").join(man.get_filename()), bytes))
        })
        .collect()
}

/// A script for each shell, under the name that its shell looks for.
fn completions() -> impl Iterator<Item = (PathBuf, Vec<u8>)> {
    Shell::value_variants().iter().map(|shell| {
        let mut command = Command::command();
        let name = command.get_name().to_owned();
        let path = PathBuf::from("completions").join(shell.file_name(&name));
        let mut bytes = Vec::new();
        generate(*shell, &mut command, name, &mut bytes);
        (path, bytes)
    })
}
