//! The answers that count, by what they are about: two words an answer mostly, since a long survey has millions of them.
//!
//! What a question's choices or a number can say is kept in few bits ([`tape::Coded`]); a text, counts, several answers to
//! one question and a question of nobody's knowledge are kept in full. Whoever asks for an answer to hold in hand gets it
//! from [`About`], which is made of one subject's answers when it is first asked for.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use tape::{Answer, Answers, Coded, Form, Told};

use crate::about::{About, Question};
use crate::id::{EntryId, ItemId, Subject, WriterId};
use crate::origin::Origin;
use crate::serial::Serial;
use crate::state::Head;

/// All answers of a state.
#[derive(Clone, Default)]
pub(crate) struct Kept {
    by_subject: BTreeMap<Subject, Own>,
    authors: Authors,
}

/// Who gave answers and how these came to be, each once.
#[derive(Clone, Default)]
struct Authors {
    all: Vec<(WriterId, Origin)>,
    numbers: BTreeMap<(WriterId, Origin), u32>,
    /// The writer who gave an answer last with nothing more to say, and its number.
    last: Option<(WriterId, u32)>,
}

/// What was answered about one subject.
#[derive(Clone, Default)]
struct Own {
    /// Answers in few bits, one a question, in the order of the questions' keys.
    few: Box<[Small]>,
    /// The other questions.
    rest: Option<Box<About>>,
    /// All of it in full, once somebody asked.
    whole: OnceLock<Box<About>>,
}

/// An answer in few bits.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Small {
    bits: u64,
    /// Its entry's number.
    n: u32,
    /// From above: the question's number (8 bits), the form (2), the author's number (22).
    packed: u32,
}

const AUTHOR_BITS: u32 = 22;
const FORM_BITS: u32 = 2;

impl Small {
    fn new(coded: Coded, n: u32, author: u32) -> Option<Self> {
        let (question, form, bits) = coded.parts();
        let form = u32::from(form.number());
        (author < 1 << AUTHOR_BITS).then_some(Self {
            bits,
            n,
            packed: (u32::from(question) << FORM_BITS | form) << AUTHOR_BITS | author,
        })
    }

    fn author(self) -> u32 {
        self.packed & ((1 << AUTHOR_BITS) - 1)
    }

    fn question(self) -> u8 {
        self.packed.to_be_bytes()[0]
    }

    fn form(self) -> u8 {
        (self.packed >> AUTHOR_BITS).to_le_bytes()[0] & 3
    }

    /// Always there: it was made from one.
    fn coded(self) -> Option<Coded> {
        Coded::of_parts(self.question(), Form::of_number(self.form())?, self.bits)
    }
}

impl Authors {
    fn number(&mut self, writer: WriterId, origin: &Origin) -> Option<u32> {
        // One writer after the other, and mostly with nothing more to say.
        let is_plain = origin.is_plain();
        if let Some((last, number)) = self.last
            && is_plain
            && u128::from_ne_bytes(last.0) == u128::from_ne_bytes(writer.0)
        {
            return Some(number);
        }
        let author = (writer, origin.clone());
        let number = match self.numbers.get(&author) {
            Some(known) => *known,
            None => {
                let number = u32::try_from(self.all.len()).ok()?;
                self.numbers.insert(author.clone(), number);
                self.all.push(author);
                number
            }
        };
        if is_plain {
            self.last = Some((writer, number));
        }
        Some(number)
    }

    fn of(&self, small: Small) -> Option<&(WriterId, Origin)> {
        self.all.get(usize::try_from(small.author()).ok()?)
    }

    fn small(&mut self, question: &Question, head: &Head) -> Option<Small> {
        let coded = Coded::of(question.as_str(), &head.value)?;
        self.small_of(coded, head.entry, &head.origin)
    }

    fn small_of(&mut self, coded: Coded, entry: EntryId, origin: &Origin) -> Option<Small> {
        let n = u32::try_from(entry.n).ok()?;
        Small::new(coded, n, self.number(entry.writer, origin)?)
    }

    /// The question and the answer in full.
    fn whole(&self, small: Small) -> Option<(Question, Head)> {
        let (writer, origin) = self.of(small)?;
        let coded = small.coded()?;
        let head = Head {
            entry: EntryId {
                writer: *writer,
                n: u64::from(small.n),
            },
            value: coded.answer(),
            origin: origin.clone(),
        };
        Some((Question::of(coded.question()), head))
    }
}

/// What was answered about one subject, with what it takes to read it.
#[derive(Clone, Copy)]
pub(crate) struct Of<'a> {
    own: &'a Own,
    authors: &'a Authors,
}

impl<'a> Of<'a> {
    /// The answers to a question; none where it was not asked.
    pub(crate) fn heads(self, question: &str) -> &'a [Head] {
        match self.small(question) {
            Some(_) => self.whole().get(question),
            None => self.own.rest.as_ref().map_or(&[], |rest| rest.get(question)),
        }
    }

    fn small(self, question: &str) -> Option<Small> {
        if self.own.few.is_empty() {
            return None;
        }
        let number = tape::question_number(question)?;
        let few = &self.own.few;
        let at = few.binary_search_by_key(&number, |small| small.question());
        at.ok().map(|at| few[at])
    }

    /// The text of the answer that counts first, if it is one: texts are never kept in few bits.
    pub(crate) fn text(self, question: &str) -> Option<&'a str> {
        match &self.own.rest.as_deref()?.get(question).first()?.value {
            Answer::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Whether a question was answered.
    pub(crate) fn has(self, question: &str) -> bool {
        self.small(question).is_some() || !self.heads(question).is_empty()
    }

    /// All of it in full.
    pub(crate) fn whole(self) -> &'a About {
        match &self.own.rest {
            Some(rest) if self.own.few.is_empty() => rest,
            _ => self.own.whole.get_or_init(|| Box::new(self.made_whole())),
        }
    }

    fn made_whole(self) -> About {
        let mut about = self.own.rest.as_deref().cloned().unwrap_or_default();
        for (question, head) in self.own.few.iter().filter_map(|small| self.authors.whole(*small)) {
            about.push(question, head);
        }
        about
    }

    /// Every question's answer that counts first, those in few bits before the others.
    pub(crate) fn firsts(self) -> impl Iterator<Item = Told<'a>> {
        let few = self.own.few.iter().filter_map(|small| small.coded());
        let rest = self.own.rest.iter().flat_map(|rest| rest.iter());
        let rest = rest.filter_map(|(question, heads)| Some(Told::Whole(question, &heads.first()?.value)));
        few.map(Told::Coded).chain(rest)
    }

    /// The same, to keep.
    pub(crate) fn answers(self) -> Answers {
        let firsts = self.firsts().map(|told| match told {
            Told::Coded(coded) => (coded.question().to_owned(), coded.answer()),
            Told::Whole(question, answer) => (question.to_owned(), answer.clone()),
        });
        firsts.collect()
    }

    /// The first key, in the keys' order, of the answer that counts first.
    pub(crate) fn first_key(self, question: &str) -> Option<&'a str> {
        match self.small(question).and_then(Small::coded) {
            Some(coded) => coded.keys().next(),
            None => self.heads(question).first()?.value.keys().first().copied(),
        }
    }

    /// The questions that are not kept in few bits.
    pub(crate) fn rest(self) -> impl Iterator<Item = (&'a Question, &'a [Head])> {
        self.own.rest.iter().flat_map(|rest| rest.questions())
    }

    /// How the answers came to be, each way once or more often.
    pub(crate) fn origins(self) -> impl Iterator<Item = &'a Origin> {
        let few = self.own.few.iter();
        let few = few.filter_map(move |small| self.authors.of(*small).map(|(_, origin)| origin));
        let rest = self.rest().flat_map(|(_, heads)| heads);
        few.chain(rest.map(|head| &head.origin))
    }
}

impl Own {
    fn of(about: About, authors: &mut Authors) -> Self {
        let (mut few, mut rest) = (Vec::new(), About::default());
        for (question, heads) in about.into_questions() {
            match &heads[..] {
                [head] => match authors.small(&question, head) {
                    Some(small) => few.push(small),
                    None => rest.add_last(question, heads),
                },
                _ => rest.add_last(question, heads),
            }
        }
        Self::new(few, rest)
    }

    fn new(few: Vec<Small>, mut rest: About) -> Self {
        rest.shrink();
        Self {
            few: few.into_boxed_slice(),
            rest: (!rest.is_empty()).then(|| Box::new(rest)),
            whole: OnceLock::new(),
        }
    }
}

impl Kept {
    /// What was answered about a subject.
    pub(crate) fn of(&self, subject: Subject) -> Option<Of<'_>> {
        let own = self.by_subject.get(&subject)?;
        Some(self.with(own))
    }

    fn with<'a>(&'a self, own: &'a Own) -> Of<'a> {
        let authors = &self.authors;
        Of { own, authors }
    }

    /// The subjects that have answers, in order, and what was answered.
    pub(crate) fn all(&self) -> impl Iterator<Item = (Subject, Of<'_>)> {
        let all = self.by_subject.iter();
        all.map(|(subject, own)| (*subject, self.with(own)))
    }

    /// The subjects alone.
    pub(crate) fn subjects(&self) -> impl Iterator<Item = Subject> {
        self.by_subject.keys().copied()
    }

    /// The items of a box that have answers, in order.
    pub(crate) fn items(&self, serial: Serial) -> impl Iterator<Item = Of<'_>> {
        let at = |position| Subject::Item(ItemId { serial, position });
        let items = self.by_subject.range(at(0)..=at(u32::MAX));
        items.map(|(_, own)| self.with(own))
    }

    /// Changes what was answered about a subject; without a question left it is gone.
    pub(crate) fn change<R>(&mut self, subject: Subject, change: impl FnOnce(&mut About) -> R) -> R {
        let own = self.by_subject.remove(&subject).unwrap_or_default();
        let mut about = self.with(&own).made_whole();
        let made = change(&mut about);
        if !about.is_empty() {
            let own = Own::of(about, &mut self.authors);
            self.by_subject.insert(subject, own);
        }
        made
    }
}

/// Answers as they come, entry by entry in the order of ids: laid down first, and sorted once.
#[derive(Default)]
pub(crate) struct Gathered {
    authors: Authors,
    few: Vec<Small>,
    /// Each with the number of its run.
    rest: Vec<(usize, Question, Head)>,
    /// Answers about one subject in a row, and where they begin among the few.
    runs: Vec<(Subject, usize)>,
}

impl Gathered {
    /// An answer in few bits that the writer's person gave.
    pub(crate) fn take_coded(&mut self, subject: Subject, coded: Coded, entry: EntryId, origin: &Origin) {
        self.about(subject);
        match self.authors.small_of(coded, entry, origin) {
            Some(small) => self.few.push(small),
            None => {
                let head = Head {
                    entry,
                    value: coded.answer(),
                    origin: origin.clone(),
                };
                self.rest
                    .push((self.runs.len() - 1, Question::of(coded.question()), head));
            }
        }
    }

    /// Any answer.
    pub(crate) fn take(&mut self, subject: Subject, question: Question, head: Head) {
        if let Some(coded) = Coded::of(question.as_str(), &head.value) {
            return self.take_coded(subject, coded, head.entry, &head.origin);
        }
        self.about(subject);
        self.rest.push((self.runs.len() - 1, question, head));
    }

    fn about(&mut self, subject: Subject) {
        if self.runs.last().is_none_or(|(last, _)| *last != subject) {
            self.runs.push((subject, self.few.len()));
        }
    }

    /// All of them, by subject.
    pub(crate) fn kept(mut self) -> Kept {
        let ends = self.runs.iter().skip(1).map(|(_, start)| *start);
        let ends = ends.chain([self.few.len()]);
        let mut rest = self.rest.into_iter().peekable();
        let mut runs: Vec<Run> = Vec::with_capacity(self.runs.len());
        for (at, ((subject, start), end)) in self.runs.iter().zip(ends).enumerate() {
            let own = std::iter::from_fn(|| rest.next_if(|(run, ..)| *run == at));
            runs.push(Run {
                subject: *subject,
                few: (*start, end),
                rest: own.map(|(_, question, head)| (question, head)).collect(),
            });
        }
        drop(rest);
        // Those of one subject stay in the order in which they came.
        runs.sort_by_key(|run| run.subject);
        let mut made = Vec::new();
        let mut runs = runs.into_iter().peekable();
        while let Some(first) = runs.next() {
            let subject = first.subject;
            let mut few = self.few[first.few.0..first.few.1].to_vec();
            let mut whole = first.rest;
            while let Some(more) = runs.next_if(|run| run.subject == subject) {
                few.extend_from_slice(&self.few[more.few.0..more.few.1]);
                whole.extend(more.rest);
            }
            made.push((subject, own(few, whole, &mut self.authors)));
        }
        Kept {
            by_subject: made.into_iter().collect(),
            authors: self.authors,
        }
    }
}

/// Answers about one subject in a row.
struct Run {
    subject: Subject,
    /// From where to where among the few.
    few: (usize, usize),
    rest: Vec<(Question, Head)>,
}

/// What was answered about one subject, in any order.
fn own(mut few: Vec<Small>, rest: Vec<(Question, Head)>, authors: &mut Authors) -> Own {
    few.sort_by_key(|small| small.question());
    let twice = few
        .windows(2)
        .any(|pair| pair[0].question() == pair[1].question());
    let both = |question: &Question| {
        let number = tape::question_number(question.as_str());
        number.is_some_and(|number| {
            few.binary_search_by_key(&number, |small| small.question())
                .is_ok()
        })
    };
    if !twice && !rest.iter().any(|(question, _)| both(question)) {
        let mut about = About::default();
        for (question, head) in rest {
            about.push(question, head);
        }
        return Own::new(few, about);
    }
    let mut all: Vec<(Question, Head)> = few.into_iter().filter_map(|small| authors.whole(small)).collect();
    all.extend(rest);
    all.sort_by_key(|(_, head)| head.entry);
    let mut about = About::default();
    for (question, head) in all {
        about.push(question, head);
    }
    Own::of(about, authors)
}

/// Whatever the authors are numbered.
impl PartialEq for Kept {
    fn eq(&self, other: &Self) -> bool {
        let same = |a: Of<'_>, b: Of<'_>| {
            let alike = |(x, y): (&Small, &Small)| {
                let (one, two) = (x.packed >> AUTHOR_BITS, y.packed >> AUTHOR_BITS);
                x.bits == y.bits && x.n == y.n && one == two && a.authors.of(*x) == b.authors.of(*y)
            };
            let few = a.own.few.len() == b.own.few.len() && a.own.few.iter().zip(&b.own.few).all(alike);
            (few && a.own.rest == b.own.rest) || a.made_whole() == b.made_whole()
        };
        self.by_subject.len() == other.by_subject.len()
            && self
                .all()
                .zip(other.all())
                .all(|((a, of_a), (b, of_b))| a == b && same(of_a, of_b))
    }
}

impl fmt::Debug for Kept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let all = self.all().map(|(subject, of)| (subject, of.made_whole()));
        f.debug_map().entries(all).finish()
    }
}

/// A small answer in a snapshot: the question's number, the form's, the author's, its entry's, its bits.
type SmallShape = (u8, u8, u32, u32, u64);

/// A subject's answers in a snapshot.
type OwnShape<A> = (Subject, Vec<SmallShape>, Option<A>);

/// Authors go in their own order, so that the same answers have the same bytes.
impl Serialize for Kept {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        let mut used: BTreeMap<&(WriterId, Origin), u32> = BTreeMap::new();
        let mut is_used = vec![false; self.authors.all.len()];
        for small in self.by_subject.values().flat_map(|own| &own.few) {
            if let Some(used) = usize::try_from(small.author())
                .ok()
                .and_then(|at| is_used.get_mut(at))
            {
                *used = true;
            }
        }
        let authors = self
            .authors
            .all
            .iter()
            .zip(is_used)
            .filter(|(_, is_used)| *is_used);
        used.extend(authors.map(|(author, _)| (author, 0)));
        (0..).zip(used.values_mut()).for_each(|(n, number)| *number = n);
        let mut numbers = vec![0; self.authors.all.len()];
        for (number, author) in numbers.iter_mut().zip(&self.authors.all) {
            *number = used.get(author).copied().unwrap_or(0);
        }
        let authors: Vec<_> = used.keys().collect();
        let subjects = Subjects {
            by_subject: &self.by_subject,
            numbers: &numbers,
        };
        (authors, subjects).serialize(into)
    }
}

/// What was answered, with the numbers that the authors have in their own order.
struct Subjects<'a> {
    by_subject: &'a BTreeMap<Subject, Own>,
    numbers: &'a [u32],
}

impl Serialize for Subjects<'_> {
    fn serialize<S: Serializer>(&self, into: S) -> Result<S::Ok, S::Error> {
        let shape = |small: &Small| -> SmallShape {
            let author = usize::try_from(small.author()).ok();
            let author = author.and_then(|at| self.numbers.get(at).copied()).unwrap_or(0);
            (small.question(), small.form(), author, small.n, small.bits)
        };
        let subjects = self.by_subject.iter();
        into.collect_seq(subjects.map(|(subject, own)| -> OwnShape<&About> {
            (*subject, own.few.iter().map(shape).collect(), own.rest.as_deref())
        }))
    }
}

impl<'de> Deserialize<'de> for Kept {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let (all, subjects): (Vec<(WriterId, Origin)>, Vec<OwnShape<About>>) =
            Deserialize::deserialize(from)?;
        let wrong = || serde::de::Error::custom("no such answer");
        let mut by_subject = Vec::with_capacity(subjects.len());
        for (subject, shapes, rest) in subjects {
            let mut few = Vec::with_capacity(shapes.len());
            for (question, form, author, n, bits) in shapes {
                let form = Form::of_number(form).ok_or_else(wrong)?;
                let coded = Coded::of_parts(question, form, bits).ok_or_else(wrong)?;
                few.push(Small::new(coded, n, author).ok_or_else(wrong)?);
            }
            by_subject.push((subject, Own::new(few, rest.unwrap_or_default())));
        }
        let numbers = all.iter().cloned().zip(0..).collect();
        let authors = Authors {
            all,
            numbers,
            last: None,
        };
        Ok(Self {
            by_subject: by_subject.into_iter().collect(),
            authors,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_takes_two_words() {
        assert_eq!(size_of::<Small>(), 16);
        let coded = Coded::of("mould", &Answer::one("none")).unwrap();
        let small = Small::new(coded, 7, 3).unwrap();
        assert_eq!((small.coded(), small.author(), small.n), (Some(coded), 3, 7));
        assert!(Small::new(coded, 7, 1 << AUTHOR_BITS).is_none());
    }
}
