//! Code pages: which one a drawing is written in, and bytes to text.
//!
//! From R2007 (AC1021) drawings are UTF-8; before that `$DWGCODEPAGE` names the
//! page, under several spellings. Where nothing fits, bytes that are UTF-8 are
//! read as UTF-8 and others as Windows-1252, with a note.

use std::borrow::Cow;

use encoding_rs::Encoding;

use super::dos;
use super::tag::SENTINEL;
use super::types::Version;
use crate::note::Note;

/// How bytes become text.
#[derive(Clone, Copy, Debug)]
pub(crate) enum CodePage {
    Standard(&'static Encoding),
    /// The upper half (0x80 to 0xFF) of a DOS page.
    Dos(&'static str),
}

impl CodePage {
    /// The source as one text, where decoding would not change it.
    pub(crate) fn whole(self, source: &[u8]) -> Option<&str> {
        let utf8 = matches!(self, CodePage::Standard(page) if page == encoding_rs::UTF_8);
        if utf8 || source.is_ascii() {
            std::str::from_utf8(source).ok()
        } else {
            None
        }
    }

    fn is_single_byte(self) -> bool {
        match self {
            CodePage::Standard(page) => page.is_single_byte(),
            CodePage::Dos(_) => true,
        }
    }

    /// Decodes; what the page does not hold becomes U+FFFD. Borrows where it can.
    pub(crate) fn decode<'a>(self, bytes: &'a [u8]) -> Cow<'a, str> {
        // Every page here holds ASCII as it is.
        if bytes.is_ascii()
            && let Ok(text) = std::str::from_utf8(bytes)
        {
            return Cow::Borrowed(text);
        }
        match self {
            CodePage::Standard(page) => page.decode_without_bom_handling(bytes).0,
            CodePage::Dos(upper) => match std::str::from_utf8(bytes) {
                Ok(text) if bytes.is_ascii() => Cow::Borrowed(text),
                _ => bytes
                    .iter()
                    .map(|&b| dos::decode(upper, b))
                    .collect::<String>()
                    .into(),
            },
        }
    }
}

/// Decides the code page from what the header says and the bytes show.
pub(crate) fn choose(
    source: &[u8],
    version: Option<Version>,
    declared: Option<&[u8]>,
    notes: &mut Vec<Note>,
) -> CodePage {
    let name = declared
        .map(|d| String::from_utf8_lossy(d).trim().to_string())
        .filter(|n| !n.is_empty());
    let page = name.as_deref().and_then(by_name);
    let utf8 = CodePage::Standard(encoding_rs::UTF_8);
    let windows = CodePage::Standard(encoding_rs::WINDOWS_1252);
    let by_version = version.is_some_and(|v| v >= Version::R2007);
    if source.starts_with(b"\xEF\xBB\xBF") {
        return utf8;
    }
    if !by_version && let Some(page) = page {
        if page.is_single_byte() && is_plainly_utf8(source) {
            let name = name.unwrap_or_default();
            let message =
                format!("the drawing says its text is {name}, and it is UTF-8: it is read as UTF-8");
            notes.push(Note::warning("code-page", message));
            return utf8;
        }
        return page;
    }
    // The numbers of a binary drawing are no text to judge by.
    if source.starts_with(SENTINEL) {
        return if by_version { utf8 } else { windows };
    }
    if source.is_ascii() {
        return page.unwrap_or(windows);
    }
    let is_utf8 = std::str::from_utf8(source).is_ok();
    if by_version {
        if is_utf8 {
            return utf8;
        }
        if mostly_utf8(source) {
            let message = "the drawing's UTF-8 is broken in places; characters there are replaced";
            notes.push(Note::warning("code-page", message));
            return utf8;
        }
        let label = page.and(name).unwrap_or_else(|| "ANSI_1252".into());
        let message = format!("the drawing should be UTF-8 and is not; its text is read as {label} instead");
        notes.push(Note::warning("code-page", message));
        return page.unwrap_or(windows);
    }
    let (page, label) = if is_utf8 {
        (utf8, "UTF-8")
    } else {
        (windows, "ANSI_1252")
    };
    let why = match name {
        Some(name) => format!("the code page `{name}` is not known"),
        None => "the drawing names no code page".to_string(),
    };
    notes.push(Note::warning(
        "code-page",
        format!(
            "{why}; its text is read as {label}: if names come out garbled, save it again as R2007 or later, which is UTF-8"
        ),
    ));
    page
}

/// Whether a text has several characters beyond ASCII that are all whole ones of UTF-8: text of one byte a character hardly ever
/// is that by chance.
fn is_plainly_utf8(source: &[u8]) -> bool {
    const FEWEST: usize = 3;
    if source.starts_with(SENTINEL) || source.is_ascii() {
        return false;
    }
    std::str::from_utf8(source)
        .is_ok_and(|text| text.chars().filter(|c| !c.is_ascii()).take(FEWEST).count() == FEWEST)
}

/// Whether the bytes beyond ASCII make up characters more often than not. A long text cut
/// into pieces inside a character is still UTF-8.
fn mostly_utf8(source: &[u8]) -> bool {
    let (mut sound, mut broken) = (0, 0);
    for chunk in source.utf8_chunks() {
        sound += chunk.valid().bytes().filter(|b| !b.is_ascii()).count();
        broken += chunk.invalid().len();
    }
    sound >= broken
}

/// `ANSI_1252`, `dos850`, `gb2312`, `UTF-8` and their like.
pub(crate) fn by_name(name: &str) -> Option<CodePage> {
    let name = name.to_ascii_lowercase().replace(['-', ' '], "_");
    let number = name.trim_start_matches(|c: char| !c.is_ascii_digit());
    let prefix = name
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .trim_end_matches('_');
    let standard = |label: &str| Encoding::for_label(label.as_bytes()).map(CodePage::Standard);
    match (prefix, number) {
        ("ascii" | "us_ascii", _) => standard("windows-1252"),
        ("utf" | "utf_8" | "unicode", _) => standard("utf-8"),
        ("mac_roman" | "macintosh", _) => standard("macintosh"),
        ("gb" | "gbk" | "gb18030", _) => standard("gbk"),
        ("big" | "big5", _) => standard("big5"),
        ("johab", _) | (_, "1361") => None,
        ("ksc" | "ks_c" | "ks_c_5601" | "ksc5601", _) => standard("euc-kr"),
        ("iso8859" | "iso_8859" | "iso", n) => standard(&format!(
            "iso-8859-{}",
            n.trim_start_matches("8859_").trim_start_matches("8859")
        )),
        ("dos" | "ansi" | "cp" | "ibm" | "windows" | "", n) => match n {
            "437" => Some(CodePage::Dos(dos::CP437)),
            "850" => Some(CodePage::Dos(dos::CP850)),
            "866" => standard("ibm866"),
            "874" => standard("windows-874"),
            "932" => standard("shift_jis"),
            "936" => standard("gbk"),
            "949" => standard("euc-kr"),
            "950" => standard("big5"),
            "65001" => standard("utf-8"),
            n if n.len() == 4 && n.starts_with("125") => standard(&format!("windows-{n}")),
            _ => None,
        },
        _ => None,
    }
}
