-- Version 1. `{text}`, `{int}`, `{bytes}` and `{end}` are written as each database needs them; see schema.rs.

create table counters (
    name {text} primary key,
    value {int} not null
){end};

insert into counters (name, value) values ('events', 0);

-- Numbered by receipt, since clocks of phones are set back and order by id would then lie.
create table events (
    seq {int} primary key,
    id {text} not null unique,
    at {text} not null,
    taken {text} not null,
    who {text} not null,
    device {text} not null,
    boat {text} not null,
    charter {text},
    answers {text},
    body {text} not null
){end};

create index events_boat on events (boat, seq);

create index events_charter on events (charter, seq);

create table persons (
    id {text} primary key,
    charter {text} not null,
    fields {text} not null
){end};

create index persons_charter on persons (charter);

create table boats (
    id {text} primary key,
    added {text} not null
){end};

create table revisions (
    boat {text} not null references boats (id),
    number {int} not null,
    parent {int},
    author {text} not null,
    at {text} not null,
    text {text} not null,
    note {text} not null,
    primary key (boat, number),
    foreign key (boat, parent) references revisions (boat, number)
){end};

create table accounts (
    id {text} primary key,
    name {text} not null unique,
    role {text} not null check (role in ('manager', 'skipper', 'hand')),
    password {text} not null,
    active {int} not null check (active in (0, 1)),
    created {text} not null
){end};

create table sessions (
    token {text} primary key,
    account {text} not null references accounts (id),
    expires {text} not null,
    csrf {text} not null
){end};

create index sessions_account on sessions (account);

create table photos (
    hash {text} primary key,
    media {text} not null,
    bytes {bytes} not null,
    taken {text} not null
){end};

create table settings (
    key {text} primary key,
    value {text} not null
){end};
