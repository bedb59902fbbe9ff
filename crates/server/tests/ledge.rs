//! The office of an invented base, Juniper Ledge, whose clock stands still: today, a charter's page, the calendar of
//! turnarounds, the owner's month.

#[path = "dock/base.rs"]
mod base;
#[path = "ledge/charter.rs"]
mod charter;
#[path = "ledge/feed.rs"]
mod feed;
#[path = "ledge/month.rs"]
mod month;
#[path = "ledge/past.rs"]
mod past;
mod place;
#[path = "ledge/today.rs"]
mod today;
