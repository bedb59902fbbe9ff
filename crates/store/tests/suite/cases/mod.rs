//! The cases that run on every database.

use std::future::Future;
use std::pin::Pin;

use crate::base::Base;

mod accounts;
mod boats;
mod events;
mod others;

/// A case: it gets an empty store of its own.
pub(crate) type Case = fn(Base) -> Pin<Box<dyn Future<Output = ()> + Send>>;

/// Makes of each case a test in memory, a test on a file, and an entry in the list that PostgreSQL runs through.
macro_rules! cases {
    ($($module:ident: $($name:ident),+;)+) => {
        mod in_memory {
            $($(
                #[tokio::test]
                async fn $name() {
                    super::$module::$name(crate::base::Base::memory()).await;
                }
            )+)+
        }

        mod in_a_file {
            $($(
                #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
                async fn $name() {
                    super::$module::$name(crate::base::Base::file()).await;
                }
            )+)+
        }

        /// All cases, by name.
        pub(crate) const ALL: &[(&str, Case)] = &[
            $($( (stringify!($name), |base| Box::pin($module::$name(base))), )+)+
        ];
    };
}

cases! {
    accounts: accounts_are_found_and_changed, names_are_taken_once, sessions_end, a_closed_account_has_no_session,
        hashes_stay_out_of_logs;
    boats: a_boat_file_is_saved_again_and_again, a_late_save_is_kept_as_a_draft, a_save_sent_twice_is_one,
        two_who_save_at_once_lose_nothing, a_save_from_nowhere_is_refused;
    events: an_event_is_taken_once, another_event_under_the_same_id_is_kept_aside, a_batch_is_taken_whole_or_not,
        events_are_read_by_boat_by_charter_and_by_place, a_clock_set_back_does_not_change_the_order,
        many_append_at_once_and_none_is_missed, odd_texts_come_back_as_they_were, large_batches_are_taken;
    others: what_is_at_hand_is_kept_of_each_boat,
        what_a_person_drew_is_overwritten,
        persons_of_many_charters,
        persons_can_be_removed, links_end_and_are_taken_back, photos_are_kept_once, settings_are_json,
        attempts_are_counted_in_a_window, a_clock_set_back_does_not_lock_anyone_out;
}
