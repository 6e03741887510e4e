//! The page of the app that tells how far it can be trusted, made from
//! `docs/validation.md`, which the tests write.

use anyhow::{Result, ensure};
use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd, html};

/// What stands around the text.
const SHELL: &str = r#"<!doctype html>
<html lang="en-GB">
  <head>
    <meta charset="utf-8">
    <meta name="viewport" content="width=device-width, initial-scale=1">
    <meta http-equiv="Content-Security-Policy" content="{content-security-policy}">
    <meta name="color-scheme" content="light dark">
    <title>How far can I trust Fledge?</title>
    <link rel="icon" href="style/fledge.svg" type="image/svg+xml">
    <link rel="stylesheet" href="style/page.css">
    <link rel="stylesheet" href="style/trust.css">
  </head>
  <body>
    <nav><a href="./">Back to the aeroplane</a></nav>
    <main class="trust">
{text}    </main>
  </body>
</html>
"#;

/// The page for a text in Markdown: each part under a second heading is closed
/// until it is asked for.
pub fn page(markdown: &str, policy: &str) -> Result<String> {
    let mut events = Vec::new();
    let (mut open, mut heading) = (false, String::new());
    for event in Parser::new_ext(markdown, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Heading { level: HeadingLevel::H2, .. }) => {
                let before = if open { "</details>\n" } else { "" };
                open = true;
                heading.clear();
                let start = format!("{before}<details class=\"group\">\n<summary><h2>");
                events.push(Event::Html(start.into()));
            }
            Event::End(TagEnd::Heading(HeadingLevel::H2)) => {
                events.push(Event::Html("</h2></summary>\n".into()));
            }
            // A wide table is moved by itself, with the keys as well.
            Event::Start(Tag::Table(_)) => {
                let name = heading.replace('&', "&amp;").replace('"', "&quot;");
                let frame = format!(
                    "<div class=\"wide\" role=\"region\" aria-label=\"Values: {name}\" tabindex=\"0\">"
                );
                events.extend([Event::Html(frame.into()), event]);
            }
            Event::Text(words) if heading.is_empty() => {
                heading = words.to_string();
                events.push(Event::Text(words));
            }
            Event::End(TagEnd::Table) => events.extend([event, Event::Html("</div>\n".into())]),
            _ => events.push(event),
        }
    }
    let mut text = String::new();
    html::push_html(&mut text, events.into_iter());
    text.push_str(if open { "</details>\n" } else { "" });
    // The policy allows no styles inside the page; its sheet of styles moves all
    // columns but the first to the right.
    let text = text.replace(" style=\"text-align: right\"", "");
    ensure!(!text.contains(" style="), "a style inside the page of trust");
    // What a browser closes by itself at the next of its kind.
    let text = ["</td>", "</th>", "</tr>", "</li>"]
        .iter()
        .fold(text, |text, tag| text.replace(&format!("{tag}\n"), tag).replace(tag, ""));
    Ok(SHELL.replace("{content-security-policy}", policy).replace("{text}", &text))
}

#[cfg(test)]
mod tests {
    use super::page;

    #[test]
    fn parts_are_closed_and_styles_left_to_the_sheet() {
        let markdown = "# A\n\nwords\n\n## B\n\n| c | d |\n|---|--:|\n| e | 1 |\n\n## F\n";
        let text = page(markdown, "none").unwrap_or_default();
        assert_eq!(text.matches("<details").count(), 2);
        assert_eq!(text.matches("</details>").count(), 2);
        assert!(text.contains("<td>e<td>1"), "{text}");
        assert!(text.contains("content=\"none\""));
    }
}
