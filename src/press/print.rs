//! A page printed to PDF by a browser that is installed on this machine. Looks for no browser itself.

use std::fs;
use std::io;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

use percent_encoding::{AsciiSet, CONTROLS, utf8_percent_encode};

use super::PressError;
use super::write::{io_error, part_of};

/// What a path may not hold as it is in an address.
const IN_ADDRESS: &AsciiSet = &CONTROLS
    .add(b' ')
    .add(b'"')
    .add(b'#')
    .add(b'%')
    .add(b'<')
    .add(b'>')
    .add(b'?')
    .add(b'`')
    .add(b'{')
    .add(b'}');
/// A browser that has not printed by then will not.
const LOOKS: u32 = 900;
const BETWEEN_LOOKS: Duration = Duration::from_millis(100);

/// Prints the page at `page` to `pdf`, both files, with the browser at `browser` (Chromium or one of its kin). The file is
/// whole or not there.
///
/// # Errors
/// The browser cannot be started, does not come to an end, or leaves no file.
pub fn print(browser: &Path, page: &Path, pdf: &Path) -> Result<(), PressError> {
    let page = page.canonicalize().map_err(|cause| io_error(page, cause))?;
    let folder = page.parent().unwrap_or(&page).to_owned();
    let part = part_of(&folder.join(pdf.file_name().unwrap_or_default()));
    // A profile of its own: a browser that is open already would take the order and print nothing.
    let profile = std::env::temp_dir().join(format!("daywork-print-{}", std::process::id()));
    let mut command = Command::new(browser);
    command
        .args([
            "--headless",
            "--disable-gpu",
            "--no-pdf-header-footer",
            "--no-first-run",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--print-to-pdf={}", part.display()))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    if is_root() {
        command.arg("--no-sandbox");
    }
    command.arg(address(&page));
    let printed = run(&mut command);
    // Left behind, the profile would be found by nobody; that it cannot be deleted changes nothing.
    let _ = fs::remove_dir_all(&profile);
    let made = printed.and_then(|()| {
        if part.is_file() {
            fs::rename(&part, pdf)
        } else {
            Err(io::Error::other(
                "the browser printed nothing. Open the page in it and print it by hand",
            ))
        }
    });
    made.map_err(|cause| {
        let _ = fs::remove_file(&part);
        io_error(browser, cause)
    })
}

fn run(command: &mut Command) -> io::Result<()> {
    let mut child = command.spawn()?;
    for _ in 0..LOOKS {
        if child.try_wait()?.is_some() {
            return Ok(());
        }
        sleep(BETWEEN_LOOKS);
    }
    child.kill()?;
    child.wait()?;
    Err(io::Error::new(
        io::ErrorKind::TimedOut,
        "the browser did not come to an end. Open the page in it and print it by hand",
    ))
}

/// A file's address.
fn address(path: &Path) -> String {
    let path = path.to_string_lossy().replace('\\', "/");
    let path = path.trim_start_matches("//?/");
    let slash = if path.starts_with('/') { "" } else { "/" };
    format!("file://{slash}{}", utf8_percent_encode(path, IN_ADDRESS))
}

/// Whether the program runs as the machine's owner of everything, for whom these browsers refuse their sandbox.
fn is_root() -> bool {
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt as _;
        fs::metadata("/proc/self").is_ok_and(|it| it.uid() == 0)
    }
    #[cfg(not(unix))]
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_keeps_spaces_and_signs_apart() {
        assert_eq!(
            address(Path::new("/my diary/50 % #1/paper.html")),
            "file:///my%20diary/50%20%25%20%231/paper.html"
        );
        assert_eq!(
            address(Path::new(r"\\?\C:\diary\paper.html")),
            "file:///C:/diary/paper.html"
        );
    }

    #[test]
    fn a_browser_that_prints_nothing_leaves_nothing_and_is_told() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let page = folder.path().join("paper.html");
        fs::write(&page, "<p>x</p>").expect("a temporary folder");
        let pdf = folder.path().join("paper.pdf");
        let nothing = print(Path::new("true"), &page, &pdf);
        assert!(nothing.is_err_and(|error| error.to_string().contains("printed nothing")));
        assert!(print(&folder.path().join("no-such-browser"), &page, &pdf).is_err());
        assert!(!pdf.exists());
    }
}
