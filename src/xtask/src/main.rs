//! `cargo xtask`: everything that is done to the project rather than by it. The list below is what it can do; each
//! command lives in the file of its name.

mod apt;
mod arrows;
mod bench;
mod check;
mod cut;
mod digest;
mod finish;
mod guided;
mod hard;
mod house;
mod licences;
mod long;
mod modules;
mod release;
mod run;
mod same_bits;
mod scale;
mod second;
mod serve;
mod site;
mod study;
mod tools;
mod wasm;
mod weight;
mod zip;

use std::process::ExitCode;

/// What a command gives back: nothing, or a sentence for the person who ran it.
pub(crate) type Outcome<T = ()> = Result<T, String>;

const LIST: &str = "\
cargo xtask COMMAND

  serve [--port N] [--base /PATH/] [--no-build] [--test]
              install what is missing, build the app as it is released, serve it on this computer
  test [--long]
              install what the tests need, then run everything that belongs to a change;
              --long adds what takes longer than a change should wait
  release     build the app and pack it as a zip for any web space: target/quarterlight-site.zip
  study [--long] [--tried]
              how often limits that promise 95% hold the truth, on made-up collections: a table and a picture in
              target/study; a minute, with --long half an hour; it goes on where it was interrupted;
              --tried sets other constants of the default interval beside it instead
  fuzz [--long [--part N] [--only IMPORTER]]
              spoilt inputs for every importer: no panic, no hang, no flood; minutes;
              --long has libFuzzer spoil them instead, ten million texts and a million containers: an hour or two and a
              C++ compiler; --part feeds the Nth part of that, --only one importer
  torture [--kills N]
              a browser killed N times (1000) in the middle of checking: every answer called saved is there
  bench [--browser | --scale]
              the estimators beside R's survey package and samplics, on the same data, in one run;
              --browser measures instead how soon the released app opens and answers in a long survey;
              --scale measures instead the draw, the fold, every figure and a merge at a desk, up to a million boxes listed
              and 250,000 items checked; the logs it makes first take minutes and 900 MB under target/bench
  weight [--no-build] [--keep]
              the app as it is released in bytes, by file (raw, gzip, brotli) and by crate, and what grew since the kept
              table; --keep keeps this one
  pictures [--language L]
              every screen in four views (phone, phone on its side, tablet, letters of twice the size), light, dark and
              for the cellar, into target/pictures; in English, or in de
  effort      what a tape and a box cost in taps and seconds, counted on the app over the practice collection, beside
              a paper form typed in afterwards

  setup       only install what a build needs: the Wasm target, Trunk, wasm-bindgen
  build [--test]
              only build the site into target/dist (target/dist-test: quicker to build, larger)
  arrows      only check the house's rules: which crate may know which, and where the browser may be touched
  same-bits   only check that the reference figures are the same to the last bit at a desk and in Wasm
  licences    only check that every dependency may be shipped, and write the notices that go with the site

Everything that is installed for one project goes under target/; packages of the system are asked for by name.";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match dispatch(&words) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("\ncargo xtask: {why}");
            ExitCode::FAILURE
        }
    }
}

fn dispatch(words: &[String]) -> Outcome {
    let Some((command, rest)) = words.split_first() else {
        println!("{LIST}");
        return Ok(());
    };
    match command.as_str() {
        "serve" => serve::command(&Options::parse(
            rest,
            &["--port", "--base", "--dist"],
            &["--no-build", "--test", "--requests"],
        )?),
        "test" => check::test(Options::parse(rest, &[], &["--long"])?.has("--long")),
        "release" => Options::parse(rest, &[], &[]).and_then(|_| release::command()),
        "fuzz" => {
            let options = Options::parse(rest, &["--part", "--only"], &["--long"])?;
            let part = options.value("--part").unwrap_or("1").parse();
            match (options.has("--long"), part) {
                (true, Ok(part)) => guided::command(part, options.value("--only")),
                (false, Ok(1)) => hard::fuzz(),
                _ => Err("--part wants a number; --part and --only go with --long".to_owned()),
            }
        }
        "torture" => {
            let options = Options::parse(rest, &["--kills"], &[])?;
            hard::torture(options.value("--kills").unwrap_or("1000"))
        }
        "weight" => {
            let options = Options::parse(rest, &[], &["--no-build", "--keep"])?;
            weight::command(options.has("--no-build"), options.has("--keep"))
        }
        "bench" => {
            let options = Options::parse(rest, &[], &["--browser", "--scale"])?;
            match (options.has("--browser"), options.has("--scale")) {
                (true, false) => long::command(),
                (false, true) => scale::command(),
                (false, false) => bench::command(),
                (true, true) => Err("one of --browser and --scale at a time.".to_string()),
            }
        }
        "study" => {
            let options = Options::parse(rest, &[], &["--long", "--tried"])?;
            study::command(options.has("--long"), options.has("--tried"))
        }
        "pictures" => {
            let options = Options::parse(rest, &["--language"], &[])?;
            check::pictures(options.value("--language").unwrap_or("en"))
        }
        "effort" => Options::parse(rest, &[], &[]).and_then(|_| check::effort()),
        "setup" => Options::parse(rest, &[], &[]).and_then(|_| tools::setup()),
        "build" => {
            let kind = site::Kind::chosen(Options::parse(rest, &[], &["--test"])?.has("--test"));
            tools::setup()?;
            site::build(kind)
        }
        "arrows" => Options::parse(rest, &[], &[]).and_then(|_| arrows::command()),
        "same-bits" => Options::parse(rest, &[], &[]).and_then(|_| same_bits::command()),
        "licences" => Options::parse(rest, &[], &[]).and_then(|_| licences::command()),
        "help" | "--help" | "-h" => {
            println!("{LIST}");
            Ok(())
        }
        other => Err(format!("there is no command '{other}'.\n\n{LIST}")),
    }
}

/// The words after a command: flags, and options that take a value.
pub(crate) struct Options {
    flags: Vec<String>,
    values: Vec<(String, String)>,
}

impl Options {
    /// Reads `words`, refusing whatever is not among `with_value` and `flags`.
    fn parse(words: &[String], with_value: &[&str], flags: &[&str]) -> Outcome<Self> {
        let mut found = Self {
            flags: Vec::new(),
            values: Vec::new(),
        };
        let mut words = words.iter();
        while let Some(word) = words.next() {
            let (name, glued) = match word.split_once('=') {
                Some((name, value)) => (name, Some(value.to_string())),
                None => (word.as_str(), None),
            };
            if with_value.contains(&name) {
                let value = match glued {
                    Some(value) => value,
                    None => words
                        .next()
                        .cloned()
                        .ok_or(format!("{name} wants a value after it."))?,
                };
                found.values.push((name.to_string(), value));
            } else if flags.contains(&word.as_str()) {
                found.flags.push(word.clone());
            } else {
                return Err(format!("'{word}' is not known here.\n\n{LIST}"));
            }
        }
        Ok(found)
    }

    pub(crate) fn has(&self, flag: &str) -> bool {
        self.flags.iter().any(|given| given == flag)
    }

    pub(crate) fn value(&self, name: &str) -> Option<&str> {
        self.values
            .iter()
            .rev()
            .find(|(given, _)| given == name)
            .map(|(_, value)| value.as_str())
    }
}
