-- Version 3: of each boat, which of her events are at hand when the base opens. It can be worked out again from all of
-- them; see hand.rs.

create table kept (
    boat {text} primary key,
    upto {int} not null,
    body {text} not null
){end};
