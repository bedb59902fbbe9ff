-- Version 2: a boat knows her newest revision, so that two saves at once queue at her row; what lost such a race
-- is kept; links for crews; counts of failed logins.

alter table boats add column newest {int} not null default 0;

update boats set newest = coalesce((select max(number) from revisions where revisions.boat = boats.id), 0);

create table drafts (
    boat {text} not null references boats (id),
    number {int} not null,
    made_from {int},
    author {text} not null,
    at {text} not null,
    text {text} not null,
    note {text} not null,
    primary key (boat, number)
){end};

create table refused_events (
    id {text} not null,
    digest {text} not null,
    at {text} not null,
    taken {text} not null,
    who {text} not null,
    device {text} not null,
    boat {text} not null,
    charter {text},
    answers {text},
    body {text} not null,
    primary key (id, digest)
){end};

create table links (
    token {text} primary key,
    boat {text} not null,
    charter {text} not null,
    ends {text} not null,
    revoked {text}
){end};

create index links_charter on links (charter);

create table attempts (
    key {text} primary key,
    since {text} not null,
    count {int} not null
){end};
