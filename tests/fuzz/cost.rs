//! What one input costs: processor time and memory, and how much of each is too much.

use std::fs;
use std::time::{Duration, Instant};

/// The longest one input may take, optimised; without optimisation ten times that, and three times where paths are counted: an
/// input that is slow there is kept, and then has a second like any other.
pub(crate) const LONGEST: Duration = Duration::from_millis(if cfg!(debug_assertions) {
    10_000
} else if cfg!(feature = "guided") {
    3_000
} else {
    1_000
});
/// The most memory that the process may have while an input is fed, bytes.
const MOST_MEMORY: u64 = 256 << 20;

pub(crate) struct Cost {
    /// Processor time: on a busy machine the clock on the wall counts the others' work too.
    pub(crate) took: Duration,
    /// The peak of this process's memory, bytes; 0 where the system does not say.
    pub(crate) memory: u64,
}

impl Cost {
    /// Why it is too much, where an input may take so many times the longest.
    pub(crate) fn too_much(&self, times: u32) -> Option<String> {
        if self.took > LONGEST * times {
            return Some(format!("{:?} for one input", self.took));
        }
        (self.memory > MOST_MEMORY).then(|| format!("{} MiB in use for one input", self.memory >> 20))
    }
}

/// Does some work, and says what it cost.
pub(crate) fn of<T>(work: impl FnOnce() -> T) -> (T, Cost) {
    forget_peak();
    #[allow(clippy::disallowed_methods, reason = "a test may time its own work")]
    let start = Instant::now();
    let busy_before = processor_time();
    let done = work();
    let took = match (busy_before, processor_time()) {
        (Some(before), Some(after)) => after.saturating_sub(before),
        _ => start.elapsed(),
    };
    let memory = peak();
    (done, Cost { took, memory })
}

/// Has the system forget this process's peak of memory; Linux does so when asked in this way.
fn forget_peak() {
    use std::io::Write;
    let forgotten = fs::File::create("/proc/self/clear_refs").and_then(|mut file| file.write_all(b"5"));
    drop(forgotten);
}

/// The peak of this process's memory since, bytes; 0 where the system does not say.
fn peak() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|rest| rest.trim().trim_end_matches(" kB").parse::<u64>().ok());
    kilobytes.unwrap_or(0) << 10
}

/// The processor time of this process, in ticks of a hundredth of a second, where the system says.
fn processor_time() -> Option<Duration> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    // The name in brackets may hold anything; time in user mode and in the system's are the 12th and 13th behind it.
    let fields: Vec<&str> = stat.rsplit_once(')')?.1.split_whitespace().collect();
    let ticks: u64 = fields.get(11)?.parse::<u64>().ok()? + fields.get(12)?.parse::<u64>().ok()?;
    Some(Duration::from_millis(ticks * 10))
}
