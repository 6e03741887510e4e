//! The little of the PDF format that is needed to read back what the browser
//! has printed: how many pages, and the words on the first one.
//!
//! Objects stand one after another in plain text, streams are deflated, words
//! are glyph numbers whose characters stand in a table of the font (ISO 32000-1,
//! 7.3.8, 9.4.3 and 9.10.3). A table maps single glyphs or runs of them.

use std::collections::BTreeMap;
use std::io::Read;

use flate2::read::ZlibDecoder;

/// A printed document.
pub struct Pdf(Vec<u8>);

type Characters = BTreeMap<u16, String>;

impl Pdf {
    /// Takes a file as printed.
    pub fn new(file: Vec<u8>) -> Self {
        assert!(file.starts_with(b"%PDF-"), "not a PDF");
        Self(file)
    }

    /// How many pages there are.
    pub fn pages(&self) -> usize {
        let text = self.plain();
        text.match_indices("/Type /Page")
            .filter(|(at, head)| !text[at + head.len()..].starts_with('s'))
            .count()
    }

    /// The characters on the first page in the order in which they were drawn,
    /// without blanks, which a PDF does not keep for sure.
    pub fn characters(&self) -> String {
        let text = self.plain();
        let contents = reference(&text, "/Contents ").expect("a page with contents");
        let page = self.stream(&text, contents);
        let mut fonts: BTreeMap<&str, Characters> = BTreeMap::new();
        let mut said = String::new();
        let mut font = "";
        let mut before = "";
        for token in page.split_ascii_whitespace() {
            match token {
                "Tf" => {}
                "Tj" => {
                    let characters = fonts.entry(font).or_insert_with(|| self.font(&text, font));
                    let glyphs = hexadecimal(before);
                    said.extend(glyphs.iter().filter_map(|glyph| characters.get(glyph)).cloned());
                }
                name if name.starts_with("/F") => font = name,
                _ => {}
            }
            before = token;
        }
        said.chars().filter(|c| !c.is_whitespace()).collect()
    }

    /// All bytes as characters, so that places in the text are places in the
    /// file once they are counted.
    fn plain(&self) -> String {
        self.0.iter().map(|byte| if byte.is_ascii() { char::from(*byte) } else { '.' }).collect()
    }

    fn stream(&self, text: &str, object: usize) -> String {
        let body = body(text, object).expect("the object of a stream");
        let start = body + text[body..].find("stream\n").expect("a stream") + "stream\n".len();
        let mut content = Vec::new();
        ZlibDecoder::new(&self.0[start..]).read_to_end(&mut content).expect("a deflated stream");
        String::from_utf8_lossy(&content).into_owned()
    }

    /// The table of a font, whose name holds the number of its object.
    fn font(&self, text: &str, name: &str) -> Characters {
        let mut characters = Characters::new();
        let object = name.trim_start_matches("/F").parse().expect("a font's number");
        let Some(start) = body(text, object) else { return characters };
        let end = start + text[start..].find("endobj").unwrap_or_default();
        let Some(table) = reference(&text[start..end], "/ToUnicode ") else { return characters };
        let table = self.stream(text, table);
        let mut run = false;
        for line in table.lines() {
            let codes: Vec<&str> = line.split_ascii_whitespace().collect();
            match codes[..] {
                [_, "beginbfrange"] => run = true,
                [_, "beginbfchar"] => run = false,
                [glyph, to] if !run && glyph.starts_with('<') => {
                    let to = String::from_utf16_lossy(&hexadecimal(to));
                    characters.extend(hexadecimal(glyph).first().map(|glyph| (*glyph, to)));
                }
                [first, last, to] if run && first.starts_with('<') => {
                    let [first, last, to] = [first, last, to].map(|code| hexadecimal(code)[0]);
                    for (glyph, to) in (first..=last).zip(to..) {
                        characters.insert(glyph, String::from_utf16_lossy(&[to]));
                    }
                }
                _ => {}
            }
        }
        characters
    }
}

/// Where an object's content begins.
fn body(text: &str, object: usize) -> Option<usize> {
    let head = format!("\n{object} 0 obj\n");
    Some(text.find(&head)? + head.len())
}

/// The number of the object that an entry refers to.
fn reference(text: &str, entry: &str) -> Option<usize> {
    let at = text.find(entry)? + entry.len();
    text[at..].split_ascii_whitespace().next()?.parse().ok()
}

/// Numbers of four digits each.
fn hexadecimal(text: &str) -> Vec<u16> {
    let digits: Vec<char> = text.chars().filter(char::is_ascii_hexdigit).collect();
    let number = |four: &[char]| u16::from_str_radix(&four.iter().collect::<String>(), 16).ok();
    digits.chunks(4).filter_map(number).collect()
}
