//! What is asked of the worker gives what the work itself gives, byte for byte.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use analysis::change::{Change, ChangeError, change};
use analysis::figures::Figures;
use analysis::plan::Plan;
use analysis::scenarios;
use analysis::stopping::Look;
use costing::{Bought, Scenario, Settings, SideBySide, SimulationError};
use handover::boxlist::{self, BoxList, Problems};
use handover::papers::{self, Paper};
use handover::report::check::{ReportCheck, ReportError};
use handover::sealed::{self, Fresh, SealError};
use handover::{FileError, Parts, Report, report, survey_file};
use labour::{Ask, Asked, Brought, Drawn, Hand, Known, Reviewed, SaidLook, Sent};
use serde::de::DeserializeOwned;
use survey::{
    Author, Command, Content, DeviceId, Entry, EntryId, Log, State, Subject, SurveyId, WriterId, decide,
    photo,
};
use tape::Answer;

const SAVED: &[u8] = include_bytes!("../../../tests/formats/survey-1.zip");

/// The page's side: what it would send, as bytes.
struct Page {
    hand: Hand,
    sent: Sent,
    next: u32,
    /// Bytes of entries that went over with the last question.
    went: usize,
    /// What was told of how far it is.
    steps: Vec<(usize, usize)>,
}

impl Page {
    fn new() -> Self {
        Self {
            hand: Hand::default(),
            sent: Sent::default(),
            next: 1,
            went: 0,
            steps: Vec::new(),
        }
    }

    fn ask<T: DeserializeOwned>(
        &mut self,
        log: Option<&Log>,
        ask: Ask,
        bytes: Vec<Vec<u8>>,
    ) -> (T, Vec<Vec<u8>>) {
        let (known, lines) = log.and_then(|log| self.sent.news(log)).unzip();
        self.went = lines.as_ref().map_or(0, Vec::len);
        let asked = serde_json::to_vec(&Asked {
            id: self.next,
            known,
            ask,
        })
        .unwrap();
        self.next += 1;
        let bytes = lines.into_iter().chain(bytes).collect();
        let asked = serde_json::from_slice(&asked).unwrap();
        let steps = &mut self.steps;
        let mut told = |done, all| steps.push((done, all));
        let (answer, bytes) = self.hand.perform(asked, bytes, &mut told).unwrap();
        (serde_json::from_slice(&answer).unwrap(), bytes)
    }
}

fn saved() -> Log {
    survey_file::read(SAVED).unwrap().log
}

/// Adds an answer as another session of the app would.
fn answer(log: &mut Log, question: &str, text: &str) {
    let author = Author {
        writer: WriterId([9; 16]),
        device: DeviceId([9; 16]),
        device_name: String::new(),
        person: String::new(),
        app: "test".to_owned(),
        looked: String::new(),
        now_ms: 1,
    };
    let command = Command::Answer {
        subject: Subject::Survey,
        question: question.to_owned(),
        value: Answer::Text(text.to_owned()),
    };
    for entry in decide(log, &State::fold(log), &author, command).unwrap() {
        log.insert(entry).unwrap();
    }
}

#[test]
fn figures_and_looks_are_those_of_the_survey() {
    let (mut page, log) = (Page::new(), saved());
    let state = State::fold(&log);
    let (figures, _) = page.ask::<Figures>(Some(&log), Ask::Figures, Vec::new());
    assert_eq!(figures, analysis::figures::figures(&state));
    assert!(!figures.headline.is_empty());
    let (look, _) = page.ask::<Option<SaidLook>>(Some(&log), Ask::StoppingLook, Vec::new());
    assert_eq!(look.map(Look::from), analysis::stopping::look(&state, &figures));
}

#[test]
fn an_outlook_is_the_one_the_desk_draws_and_tells_how_far_it_is() {
    let (mut page, log) = (Page::new(), saved());
    let state = State::fold(&log);
    let assumptions = analysis::outlook::assumptions(&state);
    let settings = analysis::plan::settings(&state);
    let here = analysis::outlook::outlook(&state, &assumptions, &settings).unwrap();
    let (drawn, _) = page.ask::<Result<Drawn, SimulationError>>(Some(&log), Ask::Outlook, Vec::new());
    let drawn = drawn.unwrap();
    assert_eq!(drawn.summary, analysis::outlook::summary(&here, &assumptions));
    assert_eq!(drawn.assumptions, assumptions);
    let (bought, _) = page.ask::<Vec<Bought>>(Some(&log), Ask::Buys { budget: 25_000.0 }, Vec::new());
    assert_eq!(bought, here.buys(25_000.0));

    let steps = &page.steps;
    assert!(steps.len() > 10 && steps.windows(2).all(|pair| pair[0].0 < pair[1].0));
    assert!(steps.iter().all(|(_, all)| *all == Settings::default().draws));
}

const PRICES: &str = r#"{"format":"quarterlight-assumptions-1","name":"Plan","currency":"EUR","values":{
    "money.labour":{"low":20,"likely":30,"high":45,"source":"a quotation","date":"2031-05-02"}}}"#;

/// With prices, two scenarios and chosen options.
fn decided() -> Log {
    let mut log = saved();
    answer(&mut log, analysis::outlook::ASSUMPTIONS, PRICES);
    let mut fewer = Scenario::new("Fewer");
    fewer.leave_out.insert(tape::actions()[0].key.to_owned());
    fewer.budget = Some(9_000.0);
    for scenario in [fewer, Scenario::new("No change")] {
        let Answer::Text(json) = scenarios::answer(&scenario).unwrap() else {
            unreachable!()
        };
        answer(&mut log, &scenarios::question(&scenario.name), &json);
    }
    let options = report::Options {
        own_text: "Ours.".to_owned(),
        own: [("limits".to_owned(), "Rain on 2 days.".to_owned())].into(),
        leave_out: ["glossary".to_owned()].into(),
        ..report::Options::default()
    };
    let Answer::Text(json) = options.answer() else {
        unreachable!()
    };
    answer(&mut log, report::QUESTION, &json);
    log
}

#[test]
fn every_paper_has_the_bytes_that_papers_makes_and_the_log_s_options() {
    let (log, earlier) = (decided(), saved());
    let parts = survey_file::read(SAVED).unwrap().parts;
    let options = report::Options::of(&State::fold(&log));
    // All by one worker, and the last by another that knows nothing yet.
    let mut page = Page::new();
    let ways = [
        (Paper::Report, true),
        (Paper::Report, false),
        (Paper::Paragraph, false),
        (Paper::Records, false),
        (Paper::Workbook, false),
        (Paper::Workbook, false),
    ];
    for (at, (what, since)) in ways.into_iter().enumerate() {
        if at + 1 == ways.len() {
            page = Page::new();
        }
        let wanted = papers::paper(&log, &parts, &options, what, since.then_some(&earlier)).unwrap();
        let ask = Ask::Paper {
            what,
            parts: parts.clone(),
            since,
        };
        let compared = since.then(|| earlier.to_lines());
        let (made, bytes) = page.ask::<Result<(), String>>(Some(&log), ask, compared.into_iter().collect());
        made.unwrap();
        assert!(bytes == [wanted], "{what:?} {since}");
    }
    let report = papers::paper(&log, &parts, &options, Paper::Report, None).unwrap();
    let report = String::from_utf8(report).unwrap();
    assert!(report.contains("Rain on 2 days.") && report.contains("Left out by the writer: Words used"));
    assert!(report::check::check(&report, &log).unwrap().holds());
}

#[test]
fn scenarios_and_changes_are_those_of_the_desk_and_nothing_is_drawn_twice() {
    let (mut page, mut log) = (Page::new(), decided());
    let of = |log: &Log| {
        let state = State::fold(log);
        let plan = Plan::whole(&state, None, &mut |_, _| {});
        plan.side_by_side().cloned()
    };
    let ask = |page: &mut Page, log: &Log| {
        page.steps.clear();
        let (told, _) =
            page.ask::<Result<Option<SideBySide>, SimulationError>>(Some(log), Ask::Scenarios, Vec::new());
        told.unwrap()
    };
    let told = ask(&mut page, &log);
    assert_eq!(told, of(&log));
    let told = told.unwrap();
    assert_eq!(told.scenarios.len(), 3);
    assert!(told.differences[0].quantities["items"].span.mean < 0.0);
    let draws = Settings::default().draws;
    assert!(
        page.steps
            .iter()
            .all(|(done, all)| *all == 3 * draws && done < all)
    );
    assert!(page.steps.windows(2).all(|pair| pair[0].0 < pair[1].0));
    // The same again, what it takes, and a report rest on the same draws.
    assert_eq!(ask(&mut page, &log).as_ref(), Some(&told));
    assert_eq!(page.steps, []);
    page.ask::<Result<Drawn, SimulationError>>(Some(&log), Ask::Outlook, Vec::new())
        .0
        .unwrap();
    answer(&mut log, "purpose", "A roof");
    let parts = survey_file::read(SAVED).unwrap().parts;
    let paper = Ask::Paper {
        what: Paper::Report,
        parts,
        since: false,
    };
    page.ask::<Result<(), String>>(Some(&log), paper, Vec::new())
        .0
        .unwrap();
    assert_eq!(page.steps, []);
    // Another scenario: only the scenarios are drawn. Other prices: all.
    answer(&mut log, &scenarios::question("No change"), "");
    assert_eq!(ask(&mut page, &log), of(&log));
    assert!(
        page.steps
            .first()
            .is_some_and(|(done, all)| *done == draws && *all == 2 * draws)
    );
    answer(
        &mut log,
        analysis::outlook::ASSUMPTIONS,
        &PRICES.replace("30", "31"),
    );
    assert_eq!(ask(&mut page, &log), of(&log));
    assert_eq!(page.steps.first(), Some(&(0, 2 * draws)));
    answer(&mut log, &scenarios::question("Fewer"), "");
    assert_eq!(ask(&mut page, &log), None);

    let earlier = saved();
    let both = [&earlier, &log].map(State::fold);
    let ask = |page: &mut Page, earlier: &Log| {
        page.ask::<Result<Change, ChangeError>>(Some(&log), Ask::Changed, vec![earlier.to_lines()])
            .0
    };
    let made = ask(&mut page, &earlier);
    assert_eq!(made, change(&both[0], &both[1]));
    assert!(made.unwrap().told(false).next().is_some());
    assert_eq!(ask(&mut page, &log), Err(ChangeError::Same));
}

#[test]
fn a_file_has_the_bytes_it_has_without_a_worker_and_comes_back_as_it_went() {
    let (mut page, log) = (Page::new(), saved());
    let opened = survey_file::read(SAVED).unwrap();
    let ask = Ask::WriteFile {
        parts: opened.parts.clone(),
        photos: Vec::new(),
    };
    let (written, bytes) = page.ask::<Result<(), FileError>>(Some(&log), ask, Vec::new());
    written.unwrap();
    assert_eq!(bytes, [survey_file::write(&log, &opened.parts).unwrap()]);

    let (brought, bytes) = page.ask::<Result<Brought, FileError>>(
        None,
        Ask::ReadFile { photos: Vec::new() },
        vec![SAVED.to_vec()],
    );
    assert_eq!(brought.unwrap().parts, opened.parts);
    assert_eq!(Log::from_lines(&bytes[0]).unwrap(), log);

    let (report, _) = page.ask::<Report>(None, Ask::VerifyFile, vec![SAVED.to_vec()]);
    assert_eq!(report, handover::verify(SAVED));
    let mut spoilt = SAVED.to_vec();
    spoilt[SAVED.len() / 2] ^= 1;
    let (read, _) = page.ask::<Result<Brought, FileError>>(
        None,
        Ask::ReadFile { photos: Vec::new() },
        vec![spoilt.clone()],
    );
    assert_eq!(read.unwrap_err(), survey_file::read(&spoilt).unwrap_err());
    let (report, _) = page.ask::<Report>(None, Ask::VerifyFile, vec![spoilt]);
    assert!(!report.holds());
}

#[test]
fn a_file_that_was_begun_is_the_one_that_is_asked_for() {
    let (mut page, mut log) = (Page::new(), saved());
    let mut parts = survey_file::read(SAVED).unwrap().parts;
    let mut begun_then_written = |log: &Log, begun: &Parts, later: &Log, parts: &Parts| {
        let begin = Ask::BeginFile { parts: begun.clone() };
        page.ask::<()>(Some(log), begin, Vec::new());
        let ask = Ask::WriteFile {
            parts: parts.clone(),
            photos: Vec::new(),
        };
        let (_, bytes) = page.ask::<Result<(), FileError>>(Some(later), ask, Vec::new());
        assert_eq!(bytes, [survey_file::write(later, parts).unwrap()]);
    };
    begun_then_written(&log, &parts, &log, &parts);
    let other = parts.clone();
    parts.contact = Some("the reading room".to_owned());
    begun_then_written(&log, &other, &log, &parts);
    let before = log.clone();
    answer(&mut log, "budget", "100");
    begun_then_written(&before, &parts, &log, &parts);
}

#[test]
fn a_reviewer_is_told_what_the_desk_tells() {
    let (mut page, opened) = (Page::new(), survey_file::read(SAVED).unwrap());
    // Another survey is open meanwhile, and stays the one that is known.
    let mut mine = Log::new(SurveyId([7; 16]));
    let title = "Mine".to_owned();
    let begin = Content::Begin {
        title,
        practice: true,
    };
    let id = EntryId {
        writer: WriterId([7; 16]),
        n: 0,
    };
    mine.insert(Entry::write(mine.survey(), id, 0, begin)).unwrap();
    page.ask::<()>(Some(&mine), Ask::Nothing, Vec::new());

    let (reviewed, bytes) = page.ask::<Reviewed>(None, Ask::ReviewFile, vec![SAVED.to_vec()]);
    assert_eq!(reviewed.report, handover::verify(SAVED));
    assert_eq!(reviewed.sha256, photo::sha256(SAVED));
    let figures = analysis::figures::figures(&State::fold(&opened.log));
    assert_eq!(reviewed.figures, Vec::from_iter(figures.headline));
    assert_eq!(bytes, [opened.log.to_lines()]);

    let html = report::html(&opened.log, &opened.parts, &report::Options::default());
    let changed = html.replacen("data-figure=\"items.total\">", "data-figure=\"items.total\">1", 1);
    assert_ne!(changed, html);
    for html in [changed, "no report".to_owned()] {
        let sent = vec![html.clone().into_bytes(), bytes[0].clone()];
        let (checked, _) = page.ask::<Result<ReportCheck, ReportError>>(None, Ask::ReviewReport, sent);
        assert_eq!(checked, report::check::check(&html, &opened.log));
    }

    let (reviewed, bytes) = page.ask::<Reviewed>(None, Ask::ReviewFile, vec![b"no file".to_vec()]);
    assert!(!reviewed.report.holds() && reviewed.figures.is_empty() && bytes.is_empty());
    page.ask::<()>(Some(&mine), Ask::Nothing, Vec::new());
    assert_eq!(page.went, 0);
}

#[test]
fn lists_and_their_faults_come_over_whole() {
    let mut page = Page::new();
    let tables = [
        "place,label,group,full,items\nCellar,1,Below,2,12\nLoft,2,Above,,\n",
        "label\n1\n",
        "place,label,full\nCellar,1,9\n,2,1\nCellar,1,1\n",
        "place,place,label\n",
        "place,label\nCellar,\"a\u{7}b\"\n",
        "",
    ];
    for table in tables {
        let bytes = table.as_bytes().to_vec();
        let (read, _) = page.ask::<Result<BoxList, Problems>>(None, Ask::ReadBoxList, vec![bytes]);
        assert_eq!(read, boxlist::read(table.as_bytes()), "{table}");
    }
}

#[test]
fn sealing_and_pictures_come_over_whole() {
    let mut page = Page::new();
    let fresh = Fresh {
        key: [1; 16],
        salt: [2; 16],
        nonce: [3; 16],
    };
    // In three parts, of which the second ends on the border of its last chunk.
    let inside: Vec<u8> = (0..2 * sealed::PART + 7)
        .map(|at| u8::try_from(at % 251).unwrap())
        .collect();
    let passphrase = "two words".to_owned();
    let head = Ask::SealHead {
        passphrase: passphrase.clone(),
        fresh: fresh.clone(),
    };
    let mut asked = vec![(head, Vec::new())];
    let n_parts = inside.len().div_ceil(sealed::PART);
    for (number, part) in inside.chunks(sealed::PART).enumerate() {
        let ask = Ask::SealPart {
            number: number as u64,
            is_last: number + 1 == n_parts,
            fresh: fresh.clone(),
        };
        asked.push((ask, vec![part.to_vec()]));
    }
    let mut sealed = Vec::new();
    for (ask, bytes) in asked {
        let (done, made) = page.ask::<Result<(), SealError>>(None, ask, bytes);
        done.unwrap();
        sealed.extend(made.concat());
    }
    assert_eq!(sealed, sealed::seal(&inside, &passphrase, &fresh).unwrap());
    let mut unseal = |passphrase: &str| {
        let passphrase = passphrase.to_owned();
        page.ask::<Result<(), SealError>>(None, Ask::Unseal { passphrase }, vec![sealed.clone()])
    };
    assert_eq!(unseal("two words"), (Ok(()), vec![inside.clone()]));
    assert_eq!(unseal("other").0, Err(SealError::WrongPassphrase));
    let (bare, _) = page.ask::<Result<String, photo::PhotoError>>(None, Ask::BarePhoto, vec![b"no".to_vec()]);
    assert_eq!(bare, Err(photo::PhotoError::NotJpeg));
}

#[test]
fn only_news_goes_over() {
    let (mut page, mut log) = (Page::new(), saved());
    let nothing = |page: &mut Page, log: &Log| page.ask::<()>(Some(log), Ask::Nothing, Vec::new());
    nothing(&mut page, &log);
    assert_eq!(page.went, log.to_lines().len());
    nothing(&mut page, &log);
    assert_eq!(page.went, 0);
    let before = log.to_lines().len();
    answer(&mut log, "budget", "100");
    let (figures, _) = page.ask::<Figures>(Some(&log), Ask::Figures, Vec::new());
    assert_eq!(page.went, log.to_lines().len() - before);
    assert_eq!(figures, analysis::figures::figures(&State::fold(&log)));

    // An entry with an id that is taken, and another survey: everything goes over anew.
    let entry = log.entries().last().unwrap();
    let twin = Entry::write(log.survey(), entry.id, entry.at_ms + 1, entry.content().clone());
    log.insert(twin).unwrap();
    nothing(&mut page, &log);
    assert_eq!(page.went, log.to_lines().len());
    let parts = survey_file::read(SAVED).unwrap().parts;
    let same_bytes = |page: &mut Page, log: &Log, parts: &Parts| {
        let ask = Ask::WriteFile {
            parts: parts.clone(),
            photos: Vec::new(),
        };
        let (_, bytes) = page.ask::<Result<(), FileError>>(Some(log), ask, Vec::new());
        assert_eq!(bytes, [survey_file::write(log, parts).unwrap()]);
    };
    same_bytes(&mut page, &log, &parts);

    // What was missing comes later, below what is known already.
    let mut gap = Log::new(log.survey());
    let missing = log.entries().nth(3).unwrap().clone();
    for entry in log.entries().filter(|entry| entry.id != missing.id) {
        gap.insert(entry.clone()).unwrap();
    }
    let mut page = Page::new();
    nothing(&mut page, &gap);
    gap.insert(missing).unwrap();
    same_bytes(&mut page, &gap, &parts);
}

#[test]
fn a_question_that_makes_no_sense_is_refused_and_the_next_is_answered() {
    let mut page = Page::new();
    let asked = |known, ask| Asked { id: 1, known, ask };
    let mut refused = |known: Option<Known>, ask: Ask, bytes: Vec<Vec<u8>>| {
        let refused = page.hand.perform(asked(known, ask), bytes, &mut |_, _| {});
        assert!(refused.is_err());
    };
    refused(None, Ask::Figures, Vec::new());
    refused(None, Ask::VerifyFile, Vec::new());
    let log = saved();
    let (known, mut lines) = Sent::default().news(&log).unwrap();
    lines.insert(0, b'x');
    refused(Some(known), Ask::Nothing, vec![lines]);
    let (figures, _) = page.ask::<Figures>(Some(&log), Ask::Figures, Vec::new());
    assert_eq!(figures, analysis::figures::figures(&State::fold(&log)));
}
