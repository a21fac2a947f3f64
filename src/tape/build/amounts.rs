//! The figures: in order, complete, and about answers that can be given.

use crate::check::Faults;
use crate::schema::Atom;

impl Faults<'_> {
    /// Speeds, classes, reels, layouts and shells.
    pub(crate) fn amounts(&mut self) {
        let a = &self.k.amounts;
        let ordered = |x: &[f64; 3]| x[0] > 0.0 && x[0] <= x[1] && x[1] <= x[2];
        for s in &a.speed {
            self.source(&format!("speed {}", s.key), &s.source);
            self.atom_of("speed", &s.key);
            if s.inches <= 0.0 {
                self.say(&format!("speed {}", s.key), "is not above nought");
            }
        }
        for c in &a.class {
            let place = format!("class {}", c.key);
            self.source(&place, &c.source);
            self.atom_of("length_class", &c.key);
            if !ordered(&c.microns) {
                self.say(&place, "microns are least, usual, most");
            }
        }
        for r in &a.reel {
            let place = format!("reel {}", r.size);
            self.source(&place, &r.source);
            self.atom_of("size", &r.size);
            if r.hub_mm <= 0.0 || r.hub_mm >= r.full_mm || !ordered(&r.passes) {
                self.say(&place, "hub below full pack, passes in order");
            }
            for key in &r.class {
                let at = a.class.iter().position(|c| &c.key == key);
                if at.and_then(|i| r.feet.get(i)).is_none_or(|feet| *feet <= 0.0) {
                    self.say(&place, &format!("has no length for the class '{key}'"));
                }
            }
            for key in &r.speeds {
                if !a.speed.iter().any(|s| &s.key == key) {
                    self.say(&place, &format!("there is no speed '{key}'"));
                }
            }
        }
        for l in &a.layout {
            self.source(&format!("layout {}", l.key), &l.source);
            self.atom_of("tracks", &l.key);
        }
        for s in &a.shell {
            let place = format!("shell {} {}", s.carrier, s.size);
            self.source(&place, &s.source);
            self.atom_of("carrier", &s.carrier);
            if !s.size.is_empty() {
                self.atom_of("size", &s.size);
            }
            if !ordered(&s.minutes) || !ordered(&s.channels) || s.passes < 1.0 {
                self.say(
                    &place,
                    "minutes and channels are least, usual, most; passes at least 1",
                );
            }
        }
        // Every size, speed, class and layout that can be answered has its figures.
        for (question, known) in [
            (
                "speed",
                a.speed.iter().map(|x| x.key.as_str()).collect::<Vec<_>>(),
            ),
            ("length_class", a.class.iter().map(|x| x.key.as_str()).collect()),
            ("tracks", a.layout.iter().map(|x| x.key.as_str()).collect()),
            (
                "size",
                a.reel
                    .iter()
                    .map(|x| x.size.as_str())
                    .chain(a.shell.iter().map(|x| x.size.as_str()))
                    .collect(),
            ),
        ] {
            let choices = self
                .question(question)
                .map(|q| q.choices.iter().collect::<Vec<_>>())
                .unwrap_or_default();
            for choice in choices
                .into_iter()
                .filter(|c| !c.silent && !known.contains(&c.key.as_str()))
            {
                let what = format!("question {question}");
                self.list
                    .push(format!("{what}: amounts.toml has no figures for {}", choice.key));
            }
        }
    }

    fn atom_of(&mut self, question: &str, answer: &str) {
        let atom = Atom {
            question: question.to_owned(),
            not: false,
            answers: vec![answer.to_owned()],
        };
        self.atom("amounts", &atom);
    }
}
