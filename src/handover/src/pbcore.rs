//! Catalogue records of the items that were checked, in `PBCore` 2.1 XML.
//!
//! One description a carrier: what could be told without playing it, with signs as annotations, for `PBCore` has no
//! element of condition. Element names and their order: pbcore-2.1.xsd (PBCore-AV-Metadata, CC0).

use std::fmt::Write as _;

use survey::{ItemId, State, Subject};
use tape::{Answers, Strength};

use crate::report::Options;
use crate::survey_file::Parts;

const NAMESPACE: &str = "http://www.pbcore.org/PBCore/PBCoreNamespace.html";
const NO_TERM: &str = "term not in PBCore vocabulary";

/// The records, one a checked item; a collection of none where nothing was checked.
#[must_use]
pub fn pbcore(state: &State, parts: &Parts, options: &Options) -> String {
    let mut xml = Xml(String::from("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"));
    let title = if options.without_places { "" } else { &state.title };
    let _ = write!(
        xml.0,
        "<pbcoreCollection xmlns=\"{NAMESPACE}\" collectionTitle=\""
    );
    xml.text(if title.is_empty() {
        "A survey of magnetic audio tape"
    } else {
        title
    });
    xml.0.push_str("\" collectionSource=\"");
    xml.text(&parts.app);
    let _ = writeln!(xml.0, "\" collectionDate=\"{}\">", parts.date);
    for serial in state.boxes.keys() {
        for position in state.positions(*serial) {
            let item = ItemId {
                serial: *serial,
                position,
            };
            // A drawn item that nobody looked at has no record: there is nothing to say of it.
            if state.answer(Subject::Item(item), "carrier").is_some() {
                record(&mut xml, state, item, options);
            }
        }
    }
    xml.0.push_str("</pbcoreCollection>\n");
    xml.0
}

fn record(xml: &mut Xml, state: &State, item: ItemId, options: &Options) {
    let about_box = state.answers(Subject::Box(item.serial));
    let answers = state.item_answers(item);
    let kind = key(&answers, "carrier").and_then(tape::carrier);
    let label = kind.map_or("Carrier, kind not told", |kind| kind.label);
    xml.0.push_str("<pbcoreDescriptionDocument>\n");
    xml.element("pbcoreIdentifier source=\"survey\"", &item.to_string());
    let title = format!("{label}, item {} of box {}", item.position, item.serial);
    xml.element("pbcoreTitle titleType=\"Assigned\"", &title);
    xml.element(
        "pbcoreDescription",
        "Described by eye in a sample survey of condition; not played, content not known.",
    );
    xml.0.push_str("<pbcoreInstantiation>\n");
    xml.element("instantiationIdentifier source=\"survey\"", &item.to_string());
    dimensions(xml, &answers);
    physical(xml, kind);
    if let Some(base) = base(&about_box, &answers) {
        xml.element("instantiationStandard annotation=\"base film, by eye\"", base);
    }
    xml.element("instantiationLocation", &location(state, item, options));
    xml.element("instantiationMediaType", "Audio");
    let playing = tape::playing(&answers);
    if let Some(playing) = &playing {
        let shown = |hours: f64| duration(hours);
        let note = format!(
            "estimated, not measured: {} to {}",
            shown(playing.content.low),
            shown(playing.content.high)
        );
        xml.annotated("instantiationDuration", &note, &shown(playing.content.likely));
    }
    if let Some(tracks) = words("tracks", &answers) {
        xml.element("instantiationTracks", &tracks);
    }
    if let Some(speed) = words("speed", &answers) {
        xml.0.push_str("<instantiationEssenceTrack>\n");
        xml.element("essenceTrackType", "Audio");
        xml.element("essenceTrackPlaybackSpeed", &speed);
        xml.0.push_str("</instantiationEssenceTrack>\n");
    }
    signs(xml, &about_box, &answers);
    xml.0
        .push_str("</pbcoreInstantiation>\n</pbcoreDescriptionDocument>\n");
}

fn dimensions(xml: &mut Xml, answers: &Answers) {
    if let Some(size) = words("size", answers) {
        xml.element(
            "instantiationDimensions annotation=\"size or length as asked in the survey\"",
            &size,
        );
    }
}

/// The vocabulary's term, or the trade's plain name with a note where it has none.
fn physical(xml: &mut Xml, kind: Option<&tape::Carrier>) {
    match kind.and_then(|kind| kind.pbcore) {
        Some(term) => xml.element("instantiationPhysical", term),
        None => {
            let name = kind.map_or("Unknown audio carrier", |kind| kind.label);
            xml.annotated("instantiationPhysical", NO_TERM, name);
        }
    }
}

fn location(state: &State, item: ItemId, options: &Options) -> String {
    if options.without_places {
        return "left out of this version".to_owned();
    }
    let listed = state.boxes.get(&item.serial);
    let place = listed.and_then(|listed| state.places.get(&listed.place));
    match place {
        Some(place) => format!("{}, box {}", place.name, item.serial),
        None => format!("Box {}", item.serial),
    }
}

/// The base film where the conditions say one.
fn base(about_box: &Answers, answers: &Answers) -> Option<&'static str> {
    let known = tape::condition_values(about_box, answers);
    ["base_acetate", "base_polyester", "base_pvc", "base_paper"]
        .into_iter()
        .find(|key| known.get(key).copied().flatten() == Some(true))
        .and_then(|key| tape::conditions().iter().find(|condition| condition.key == key))
        .map(|condition| condition.label)
}

/// Findings that something points to, and what is to be done.
fn signs(xml: &mut Xml, about_box: &Answers, answers: &Answers) {
    let findings = tape::findings(about_box, answers);
    for finding in findings.iter().filter(|f| f.strength >= Strength::Possible) {
        let text = format!("{} ({})", finding.title, finding.strength.word());
        xml.element("instantiationAnnotation annotationType=\"condition\"", &text);
    }
    let class = tape::action(&findings);
    let text = format!("{}: {}", class.label, class.handling);
    xml.element("instantiationAnnotation annotationType=\"handling\"", &text);
}

fn key<'a>(answers: &'a Answers, question: &str) -> Option<&'a str> {
    match answers.get(question)? {
        tape::Answer::One(key) => Some(key),
        _ => None,
    }
}

/// An answer in words, where it tells something.
fn words(question: &str, answers: &Answers) -> Option<String> {
    let answer = answers.get(question)?;
    let tells = !answer.has_any(&[tape::CANT_TELL, tape::PHOTOGRAPHED]);
    tells.then(|| tape::answer_in_words(question, answer))
}

/// Hours as `01:04:00`.
fn duration(hours: f64) -> String {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to what a day count can hold"
    )]
    let minutes = (hours * 60.0).round().clamp(0.0, 1e7) as u64;
    format!("{:02}:{:02}:00", minutes / 60, minutes % 60)
}

/// XML in the making; every text is escaped on its way in.
struct Xml(String);

impl Xml {
    fn text(&mut self, text: &str) {
        for c in text.chars() {
            match c {
                '&' => self.0.push_str("&amp;"),
                '<' => self.0.push_str("&lt;"),
                '>' => self.0.push_str("&gt;"),
                '"' => self.0.push_str("&quot;"),
                // What XML 1.0 cannot hold at all.
                '\u{0}'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {
                    self.0.push('\u{fffd}');
                }
                c => self.0.push(c),
            }
        }
    }

    /// An element, its attributes written by us behind its name.
    fn element(&mut self, name: &str, text: &str) {
        let _ = write!(self.0, "<{name}>");
        self.text(text);
        let bare = name.split(' ').next().unwrap_or(name);
        let _ = writeln!(self.0, "</{bare}>");
    }

    fn annotated(&mut self, name: &str, annotation: &str, text: &str) {
        let _ = write!(self.0, "<{name} annotation=\"");
        self.text(annotation);
        self.0.push_str("\">");
        self.text(text);
        let _ = writeln!(self.0, "</{name}>");
    }
}

#[cfg(test)]
mod tests {
    use super::{Xml, duration};

    #[test]
    fn texts_stay_texts() {
        let mut xml = Xml(String::new());
        xml.element("a b=\"c\"", "<x> & \u{1}\"");
        assert_eq!(xml.0, "<a b=\"c\">&lt;x&gt; &amp; \u{fffd}&quot;</a>\n");
        assert_eq!(
            [duration(1.0 + 4.0 / 60.0), duration(0.0), duration(123.5)],
            ["01:04:00", "00:00:00", "123:30:00"]
        );
    }
}
