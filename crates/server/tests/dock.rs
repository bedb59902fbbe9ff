//! The life of a charter by the forms of the dock, from making ready to settling; what is refused on the way.

#[path = "dock/base.rs"]
mod base;
#[path = "dock/found.rs"]
mod found;
#[path = "dock/life.rs"]
mod life;
#[path = "dock/photos.rs"]
mod photos;
#[path = "dock/walks.rs"]
mod walks;
