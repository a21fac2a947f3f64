//! How the sums were done, and what is taken of that which is not known.

use sampling::interval::joint::Rule;

use super::facts::Facts;
use super::line::{Line, w};
use super::numbers::{as_given, three};
use super::page::Page;

pub(super) fn write(page: &mut Page, facts: &Facts<'_>) {
    page.p(&w(
        "Boxes are clusters: what counts for the doubt is how boxes differ from one another. Totals are expansion estimates; \
         shares are ratios with linearised variance; both carry the corrections for finite numbers of boxes and of items. \
         A box that holds nothing stays in the sample. Boxes not reached are taken as the other boxes of their stratum. An \
         answer that could not be told is taken as like the known ones of its stratum (missing at random within the stratum), where \
         at least two opened boxes of the stratum tell of it, and as like all that is known where they do not; the part of such \
         answers is shown, with what the share would be if all of them were no, and if all were yes. Of a stopped box nothing is \
         assumed but what was seen of it.",
    ));
    if !facts.figures.headline.is_empty() {
        page.p(&w("Intervals are two-sided at ")
            .add(Facts::level())
            .w(". Where none was seen, the upper limit is one-sided at that level (“at most”); where all had it, so is the lower \
                (“at least”). “For statisticians” says by which method each was made."));
        taken(page);
        joined(page);
        let df = facts.figures.headline.values().filter_map(|figure| figure.df);
        if let Some(df) = df.reduce(f64::min) {
            page.p(&w("Degrees of freedom, fewest of any figure: ")
                .fig("df.fewest", three(df))
                .w(". Under ten, a range rests on few boxes, and more boxes would serve it best."));
        }
    }
    let Ok(outlook) = &facts.outlook else { return };
    page.p(
        &w("Hours, work, storage and cost were simulated in ")
            .n("outlook.draws", outlook.draws)
            .w(" draws from the seed ")
            .said(outlook.seed.clone())
            .w(", which is the number of the survey. Each draw takes another sample of boxes (rescaling bootstrap, widened to the t \
                distribution), other speeds, tracks and lengths where these are not known (once for all items of a batch or of a \
                kind and place), and other values of the assumptions (triangular between low, likely and high). The ranges \
                are the middle ")
            .add(Facts::simulated_level())
            .w(" of the draws; the figure before them is their mean."),
    );
    page.p(&w("Two levels, and why: what is estimated from the sample, without assumptions on time and money, has intervals at ")
        .add(Facts::level())
        .w(", as is usual for surveys. Simulated ranges are at ")
        .add(Facts::simulated_level())
        .w(": farther out they would rest on the far ends of assumptions, which nobody knows so finely. Each stands beside \
            its range."));
    if let Some(learned) = &facts.learned_hours {
        page.p(&w("The hours of the simulation are those put right by the first transfers (")
            .n("learned.hours_simulated.n", usize::try_from(learned.n).unwrap_or(usize::MAX))
            .w(
                " items): they stand in the place of what unknown speeds, tracks and lengths would leave open in all, with the \
                 doubt that the choice of these items leaves. Machine hours, work, storage and cost follow them. How the hours \
                 lie among classes and strata is still as the look had it.",
            ));
    }
    page.p(&w(
        "In the figures before it, too, boxes not reached and answers that could not be told are taken as like the known ones of their \
         stratum. \
         The simulation does the same for boxes that nobody could open or count, and for items whose playing time cannot be \
         told: like the others of their stratum, and of their kind there. A stopped box whose hazard says what is to be done \
         counts as that.",
    ));
}

/// How the limits of shares are made, with the constants they rest on.
fn joined(page: &mut Page) {
    let rule = Rule::DEFAULT;
    let (a, b) = rule.prior;
    page.p(
        &w("Limits of shares, by a model of boxes and the design joined: how alike the items of a box are is averaged over what \
            the sample says of it and a beta distribution of the correlation inside boxes that was set beforehand (its parameters ")
            .fig("limits.prior.a", as_given(a))
            .w(" and ")
            .fig("limits.prior.b", as_given(b))
            .w(", its mean ")
            .fig("limits.prior.mean", three(a / (a + b)))
            .w("); that boxes are all or nothing has a probability of ")
            .fig("limits.all_or_nothing", as_given(rule.all_or_nothing))
            .w(" beforehand. With few telling boxes (those with the condition, or those without, whichever are fewer) this model \
                leads; with many the linearised variance does; both weigh the same at ")
            .fig("limits.design_leads", as_given(sampling::math::sqrt(rule.design_leads)))
            .w(" such boxes. Where none was seen, nothing tells how alike items are, and a correlation of ")
            .fig("limits.nothing_seen", as_given(rule.nothing_seen))
            .w(" is taken. These constants were chosen by simulation, so limits that few boxes tell of are partly the model's. The \
                formula is at ")
            .said("src/sampling/src/interval/joint.rs")
            .w(" in the program's source; how often such limits hold the truth, and where they do not (a share that rises with a \
                box's size; few boxes that have it in all their items or in none), is reported in ")
            .said("src/sampling/coverage.md")
            .w(". Limits of a number of items add the doubt of the share and that of the number of items, as if the two were \
                independent."),
    );
}

/// What is taken for granted of what is not known.
fn taken(page: &mut Page) {
    let rows = [
        (
            "Boxes that were not reached",
            "As the other boxes of their stratum",
            "Every figure, and the simulation",
        ),
        (
            "Answers that could not be told",
            "As the known ones of their stratum; where fewer than two opened boxes of it tell, as all that is known",
            "Shares and numbers of items; the bounds beside them do without it",
        ),
        (
            "Playing times that could not be told",
            "As the known ones of their stratum; in the simulation as those of their kind there",
            "Hours of sound, and the simulation",
        ),
        (
            "Items of a stopped box that nobody judged from outside",
            "As many as the other boxes of its stratum hold on average",
            "The number of items, and the simulation",
        ),
        (
            "Items of a stopped box that somebody judged from outside",
            "The judgement is right; in the simulation it is drawn within the range of its assumption, once for all such boxes",
            "The number of items and what is to be done; the simulation",
        ),
        (
            "What is in a stopped box, beyond what it was stopped for",
            "Nothing is taken; in the simulation it is as in the other boxes of its stratum",
            "Conditions; the simulation",
        ),
    ];
    let rows: Vec<Vec<Line>> = rows
        .into_iter()
        .map(|(what, how, where_)| vec![w(what), w(how), w(where_), w("the program")])
        .collect();
    page.grid(
        "What is taken of that which is not known",
        &[
            "What is not known",
            "How it is taken",
            "What rests on it",
            "Set by",
        ]
        .map(Line::from),
        &[],
        &rows,
    );
}
