//! Batches of entries on their way to the disk: in order, one transaction a batch, nothing dropped when one fails.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;

use survey::SurveyId;
use survey::store::{LogStore, StoreError, StoredEntry};

/// What came of a batch.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Kept {
    /// The disk has it.
    Saved(SurveyId, Vec<StoredEntry>),
    /// It could not be kept; it and all behind it wait, and [`Queue::pump`] tries again.
    Failed(StoreError),
}

/// The batches not yet durable.
#[derive(Debug, Default)]
pub(super) struct Queue {
    waiting: RefCell<VecDeque<(SurveyId, Vec<StoredEntry>)>>,
    pumping: Cell<bool>,
}

impl Queue {
    /// Adds a batch behind the others.
    pub(super) fn push(&self, survey: SurveyId, entries: Vec<StoredEntry>) {
        self.waiting.borrow_mut().push_back((survey, entries));
    }

    /// The entries of a survey that wait, in order.
    pub(super) fn waiting_of(&self, survey: SurveyId) -> Vec<StoredEntry> {
        let waiting = self.waiting.borrow();
        waiting
            .iter()
            .filter(|(of, _)| *of == survey)
            .flat_map(|(_, entries)| entries.clone())
            .collect()
    }

    /// Whether every batch is durable.
    pub(super) fn is_empty(&self) -> bool {
        self.waiting.borrow().is_empty()
    }

    /// Keeps batches until none waits or one fails, telling each. Does nothing while another call is at it.
    pub(super) async fn pump(&self, store: &impl LogStore, tell: impl Fn(Kept)) {
        if self.pumping.replace(true) {
            return;
        }
        loop {
            let next = self.waiting.borrow().front().cloned();
            let Some((survey, entries)) = next else { break };
            match store.append(survey, &entries).await {
                Ok(()) => {
                    self.waiting.borrow_mut().pop_front();
                    tell(Kept::Saved(survey, entries));
                }
                Err(error) => {
                    tell(Kept::Failed(error));
                    break;
                }
            }
        }
        self.pumping.set(false);
    }
}

#[cfg(test)]
mod tests {
    use std::future::Future;
    use std::pin::pin;
    use std::task::{Context, Poll, Waker};

    use survey::store::MemoryStore;
    use survey::{EntryId, WriterId};

    use super::*;

    const SURVEY: SurveyId = SurveyId([1; 16]);

    /// The memory store answers at once, so a future of it is ready when first asked.
    fn now<T>(future: impl Future<Output = T>) -> T {
        match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
            Poll::Ready(value) => value,
            Poll::Pending => panic!("the memory store waits for nothing"),
        }
    }

    fn entry(n: u64) -> StoredEntry {
        StoredEntry {
            id: EntryId {
                writer: WriterId([2; 16]),
                n,
            },
            bytes: vec![u8::try_from(n).unwrap()],
        }
    }

    #[test]
    fn a_full_disk_holds_everything_back_in_order_until_there_is_room() {
        let (queue, store, told) = (Queue::default(), MemoryStore::default(), RefCell::new(Vec::new()));
        let full = StoreError::Full("no room".to_owned());
        store.fail_with(Some(full.clone()));
        for n in 0..3 {
            queue.push(SURVEY, vec![entry(n)]);
            now(queue.pump(&store, |kept| told.borrow_mut().push(kept)));
        }
        assert_eq!(told.take(), vec![Kept::Failed(full); 3]);
        assert!(!queue.is_empty());

        store.fail_with(None);
        now(queue.pump(&store, |kept| told.borrow_mut().push(kept)));
        assert_eq!(
            told.take(),
            (0..3)
                .map(|n| Kept::Saved(SURVEY, vec![entry(n)]))
                .collect::<Vec<_>>()
        );
        assert!(queue.is_empty());
        assert_eq!(
            now(store.load(SURVEY)).unwrap(),
            (0..3).map(entry).collect::<Vec<_>>()
        );
    }
}
