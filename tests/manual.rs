//! Man pages and completions, tried by the programs that read them, as far as those are on this machine.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use common::{daywork, put, stderr, stdout, tree};
use tempfile::TempDir;

const COMMANDS: [&str; 12] = [
    "start", "jot", "inspect", "press", "proof", "hours", "rates", "price", "cover", "handover",
    "export", "manual",
];

fn written() -> (TempDir, BTreeMap<String, Vec<u8>>) {
    let folder = TempDir::new().expect("a temporary folder");
    let out = write(folder.path());
    assert_eq!(out.status.code(), Some(0), "{}", stderr(&out));
    let files = tree(folder.path());
    (folder, files)
}

fn write(folder: &Path) -> Output {
    daywork()
        .arg("manual")
        .arg(folder)
        .output()
        .expect("it runs")
}

/// Runs a program on a file; `None` where this machine has no such program, which `tests/run.sh` says.
fn read_by(program: &str, arguments: &[&str], file: &Path) -> Option<Output> {
    match Command::new(program).args(arguments).arg(file).output() {
        Ok(out) => Some(out),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => None,
        Err(error) => panic!("{program}: {error}"),
    }
}

#[test]
fn each_command_has_a_page_and_each_shell_a_script() {
    let (_folder, files) = written();
    let mut wanted: Vec<String> = COMMANDS
        .iter()
        .map(|command| format!("man/man1/daywork-{command}.1"))
        .collect();
    wanted.push("man/man1/daywork.1".to_owned());
    for script in [
        "_daywork",
        "_daywork.ps1",
        "daywork.bash",
        "daywork.elv",
        "daywork.fish",
    ] {
        wanted.push(format!("completions/{script}"));
    }
    wanted.sort();
    assert_eq!(files.keys().cloned().collect::<Vec<_>>(), wanted);
    let help = stdout(&daywork().arg("--help").output().expect("it runs"));
    for command in COMMANDS {
        assert!(
            help.contains(&format!("\n  {command} ")),
            "{command}: {help}"
        );
        for (path, bytes) in &files {
            let text = String::from_utf8_lossy(bytes);
            let whole = path.starts_with("completions/") || path.ends_with("/daywork.1");
            assert!(
                !whole || text.contains(command),
                "{path} leaves out {command}"
            );
        }
    }
}

#[test]
fn each_shell_reads_its_script() {
    let (folder, _) = written();
    for (shell, script) in [
        ("bash", "daywork.bash"),
        ("zsh", "_daywork"),
        ("fish", "daywork.fish"),
    ] {
        let path = folder.path().join("completions").join(script);
        // A shell that read nothing would not tell a script that is cut short from a whole one.
        let broken = folder.path().join("broken");
        put(&broken, "if true\n");
        if let Some(out) = read_by(shell, &["-n"], &path) {
            assert!(out.status.success(), "{shell}: {}", stderr(&out));
            let out = read_by(shell, &["-n"], &broken).expect("it ran before");
            assert!(!out.status.success(), "{shell} reads anything");
        }
    }
}

#[test]
fn bash_completes_commands_and_their_options() {
    let (folder, _) = written();
    let path = folder.path().join("completions/daywork.bash");
    let script = format!(
        "source '{}'\n\
         try() {{ COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); COMPREPLY=(); _daywork daywork \"${{@: -1}}\" \"${{@: -2:1}}\"; echo \"${{COMPREPLY[@]}}\"; }}\n\
         try daywork ha\ntry daywork export --an\ntry daywork export --to c\n",
        path.display()
    );
    let asked = folder.path().join("ask.bash");
    put(&asked, script);
    if let Some(out) = read_by("bash", &["--norc"], &asked) {
        assert_eq!(
            stdout(&out),
            "handover\n--anonymous\ncsv\n",
            "{}",
            stderr(&out)
        );
    }
}

#[test]
fn man_reads_each_page_without_a_warning() {
    let (folder, files) = written();
    for page in files.keys().filter(|path| path.starts_with("man/")) {
        let arguments = ["-man", "-ww", "-z", "-Kutf8", "-Tutf8"];
        if let Some(out) = read_by("groff", &arguments, &folder.path().join(page)) {
            assert!(out.status.success(), "{page}");
            assert_eq!(stderr(&out), "", "{page}");
        }
    }
}

#[test]
fn written_again_over_its_own_and_never_over_another_s_file() {
    let (folder, before) = written();
    let again = write(folder.path());
    assert_eq!(again.status.code(), Some(0), "{}", stderr(&again));
    assert_eq!(tree(folder.path()), before);
    fs::write(folder.path().join("man/man1/daywork.1"), "mine").expect("written");
    fs::remove_file(folder.path().join("completions/_daywork")).expect("deleted");
    let refused = write(folder.path());
    assert_eq!(refused.status.code(), Some(2));
    assert!(
        stderr(&refused).contains("is not daywork's"),
        "{}",
        stderr(&refused)
    );
    let after = tree(folder.path());
    assert_eq!(after["man/man1/daywork.1"], b"mine");
    assert!(!after.contains_key("completions/_daywork"));
}
