//! WebVTT and SubRip captions: the words said and when each cue begins. Everything else in the file is left alone.

/// What was said in a film.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Captions {
    /// All words, one space between.
    pub words: String,
    /// Where in the words each cue begins, and when it was said: `0:12`, `1:02:05`.
    pub cues: Vec<(usize, String)>,
}

impl Captions {
    /// When the word at a byte was said.
    pub fn at(&self, byte: usize) -> Option<&str> {
        let index = self
            .cues
            .partition_point(|(start, _)| *start <= byte)
            .checked_sub(1)?;
        self.cues.get(index).map(|(_, at)| at.as_str())
    }
}

/// Reads a caption file; `None` where the text is none.
pub fn read(text: &str) -> Option<Captions> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let mut blocks = text.split("\n\n").filter(|block| !block.trim().is_empty());
    let is_webvtt = text.starts_with("WEBVTT");
    let mut is_subrip = || {
        let first = blocks.next().unwrap_or_default();
        let mut lines = first.trim().lines();
        let number = lines.next().is_some_and(|line| {
            !line.is_empty() && line.trim().bytes().all(|b| b.is_ascii_digit())
        });
        number && lines.next().is_some_and(|line| timing(line).is_some())
    };
    if !is_webvtt && !is_subrip() {
        return None;
    }
    let mut found = Captions {
        words: String::new(),
        cues: Vec::new(),
    };
    let mut cue = None;
    for line in text.lines() {
        if line.trim().is_empty() {
            cue = None;
        } else if let Some(start) = timing(line) {
            cue = Some(start);
        } else if let Some(start) = &cue {
            let words = plain(line);
            if words.is_empty() {
                continue;
            }
            if !found.words.is_empty() {
                found.words.push(' ');
            }
            if found.cues.last().is_none_or(|(_, at)| at != start) {
                found.cues.push((found.words.len(), start.clone()));
            }
            found.words.push_str(&words);
        }
    }
    Some(found)
}

/// The start of a cue, from its line of times: `00:01:02.500 --> 00:01:05.000`, with a comma in SubRip.
fn timing(line: &str) -> Option<String> {
    let (start, end) = line.split_once("-->")?;
    moment(end.split_whitespace().next()?)?;
    moment(start.trim())
}

fn moment(text: &str) -> Option<String> {
    let (clock, part) = text.split_once(['.', ','])?;
    let digits = |text: &str| {
        !text.is_empty() && text.len() <= 4 && text.bytes().all(|b| b.is_ascii_digit())
    };
    let parts: Vec<u32> = clock
        .split(':')
        .map(|part| digits(part).then(|| part.parse().ok()).flatten())
        .collect::<Option<_>>()?;
    digits(part).then_some(())?;
    match parts[..] {
        [hours, minutes, seconds] if hours > 0 => {
            Some(format!("{hours}:{minutes:02}:{seconds:02}"))
        }
        [_, minutes, seconds] | [minutes, seconds] => Some(format!("{minutes}:{seconds:02}")),
        _ => None,
    }
}

/// A cue's line without the marks of voices and styles, `<v Nan>` and `<i>`, spaces folded.
fn plain(line: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in line.chars() {
        match c {
            '<' => inside = true,
            '>' if inside => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    // A lone `<` is no mark.
    let out = if inside { line.to_owned() } else { out };
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn webvtt_and_subrip_give_words_and_times() {
        let vtt = "WEBVTT\n\nNOTE made by the phone\n\nstyle\n00:01.000 --> 00:04.000 line:0\n<v Nan>hello there\n\n01:02:03.000 --> 01:02:05.000\nagain\n";
        let read = read(vtt).expect("captions");
        assert_eq!(read.words, "hello there again");
        assert_eq!(
            read.cues,
            [(0, "0:01".to_owned()), (12, "1:02:03".to_owned())]
        );
        assert_eq!(read.at(3), Some("0:01"));
        assert_eq!(read.at(12), Some("1:02:03"));
        let srt = "1\r\n00:00:01,000 --> 00:00:02,000\r\nhello\r\n\r\n2\r\n00:00:03,000 --> 00:00:04,000\r\n<i>again</i>\r\n";
        assert_eq!(self::read(srt).expect("captions").words, "hello again");
    }

    #[test]
    fn a_note_is_no_captions() {
        assert_eq!(read("Barn lights\n9-5 --> home"), None);
        assert_eq!(read("12\nfan 1h"), None);
        assert_eq!(read(""), None);
    }
}
