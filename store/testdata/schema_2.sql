-- A store of schema 2 as the program of its day kept it: 780486a. All invented. Written by sqlite3 .dump; nobody changes it.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
INSERT INTO goose_db_version VALUES(1,0,1,'2026-11-29 17:54:45');
INSERT INTO goose_db_version VALUES(2,1,1,'2026-11-29 17:54:45');
INSERT INTO goose_db_version VALUES(3,2,1,'2026-11-29 17:54:45');
CREATE TABLE store (
    one  BIGINT PRIMARY KEY CHECK (one = 1),
    mark TEXT   NOT NULL,
    seq  BIGINT NOT NULL
);
INSERT INTO store VALUES(1,'raftwright',12);
CREATE TABLE happening (
    seq      BIGINT PRIMARY KEY,
    id       TEXT   NOT NULL UNIQUE, -- made by whoever sent it, so that sending again adds nothing
    who      TEXT   NOT NULL,        -- an account, or the link or key by which it came
    recorded BIGINT NOT NULL,        -- milliseconds since 1970, by the clock of the store
    happened BIGINT NOT NULL,        -- the same, by whoever says so
    what     TEXT   NOT NULL,
    thing    TEXT   NOT NULL,        -- what it happened to: a bed, an entry, a sheet, an account, a pass
    payload  TEXT   NOT NULL         -- JSON
);
INSERT INTO happening VALUES(1,'01a22871-f1d6-7f10-aee3-34bac0706c95','holder',1795974885847,1795974885847,'account.opened','01a22871-f1d6-7f10-aee3-34bac0706c95','{"role":"educator"}');
INSERT INTO happening VALUES(2,'01a22871-f1d9-7af0-9d62-d0975d3d1af7','holder',1795974885849,1795974885849,'account.opened','01a22871-f1d9-7af0-9d62-d0975d3d1af7','{"role":"volunteer"}');
INSERT INTO happening VALUES(3,'01a22871-f1da-7bb0-8cb9-0eaf850e50b1','holder',1795974885850,1795974885850,'account.opened','01a22871-f1da-7bb0-8cb9-0eaf850e50b1','{"role":"grower"}');
INSERT INTO happening VALUES(4,'01a22871-f1db-76b5-b57c-d25c45f22e14','holder',1795974885851,1795974885851,'account.opened','01a22871-f1db-76b5-b57c-d25c45f22e14','{"role":"grower"}');
INSERT INTO happening VALUES(5,'01a22871-f2c5-7c15-b968-f1bbe20756bf','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886085,1795974886085,'bed.made','01a22871-f2c5-7c15-b968-f1bbe20756bf','{"owner":"01a22871-f1da-7bb0-8cb9-0eaf850e50b1","version":1,"edition":"1-ab","text":"title: An invented bed\nsite:\n  place: \"04473\"\n"}');
INSERT INTO happening VALUES(6,'01a22871-f301-728c-ad10-513d531a52c6','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886145,1795974886145,'brief.written','01a22871-f2c5-7c15-b968-f1bbe20756bf','{"version":2,"edition":"1-ab","text":"title: An invented bed\nsite:\n  place: \"04473\"\nbed:\n  length: 8 ft\n"}');
INSERT INTO happening VALUES(7,'01a22871-f303-7cd6-9134-85578d62215c','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886147,1777795200000,'entry.kept','01a22871-f303-7cd6-9134-85578d62215c','{"bed":"01a22871-f2c5-7c15-b968-f1bbe20756bf","version":1,"pairs":[{"Path":"ec","Text":"1.6 mS/cm"},{"Path":"ph","Text":"6.1"}]}');
INSERT INTO happening VALUES(8,'01a22871-f305-7aaf-8171-e266ead4604a','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886149,1777795200000,'entry.corrected','01a22871-f303-7cd6-9134-85578d62215c','{"bed":"01a22871-f2c5-7c15-b968-f1bbe20756bf","version":2,"pairs":[{"Path":"ec","Text":"1.4 mS/cm"},{"Path":"ph","Text":"6.1"}]}');
INSERT INTO happening VALUES(9,'01a22871-f306-7730-944a-936afbdd8b38','01a22871-f1d9-7af0-9d62-d0975d3d1af7',1795974886150,1777968000000,'entry.kept','01a22871-f306-7730-944a-936afbdd8b38','{"bed":"01a22871-f2c5-7c15-b968-f1bbe20756bf","version":1,"pairs":[{"Path":"depth","Text":"7 in"}]}');
INSERT INTO happening VALUES(10,'01a22871-f307-76fb-bb67-2309613196da','01a22871-f1d9-7af0-9d62-d0975d3d1af7',1795974886151,1795974886151,'sheet.written','01a22871-f307-76fe-afa6-3220cb0b45a6','{"kind":"water","name":"Town water","version":1,"text":"water:\n  ph: 7.4\n"}');
INSERT INTO happening VALUES(11,'01a22871-f309-7c03-b8be-3f4e7b15b5a2','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886153,1795974886153,'photo.added','01a22871-f309-7c03-b8be-3f4e7b15b5a2','{"bed":"01a22871-f2c5-7c15-b968-f1bbe20756bf","entry":"01a22871-f303-7cd6-9134-85578d62215c","kind":"image/jpeg","hash":"e35daeef138c566adb349b62e37a4d486f047c356b65ed797ace8dfa3d4a30b4"}');
INSERT INTO happening VALUES(12,'01a22871-f30b-71a7-a3e9-749256a4d651','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886155,1795974886155,'pass.given','01a22871-f30b-71a7-a3e9-749256a4d651','{"hash":"131db538f1a37307afb085a8d37a5f35081986d3681f82605196453455b8bd74","kind":"link","bed":"01a22871-f2c5-7c15-b968-f1bbe20756bf","account":"01a22871-f1da-7bb0-8cb9-0eaf850e50b1","label":"label on the bed"}');
CREATE TABLE account (
    id     TEXT   PRIMARY KEY,
    role   TEXT   NOT NULL,
    closed BIGINT NOT NULL           -- 0 while it is open
);
INSERT INTO account VALUES('01a22871-f1d6-7f10-aee3-34bac0706c95','educator',0);
INSERT INTO account VALUES('01a22871-f1d9-7af0-9d62-d0975d3d1af7','volunteer',0);
INSERT INTO account VALUES('01a22871-f1da-7bb0-8cb9-0eaf850e50b1','grower',0);
INSERT INTO account VALUES('01a22871-f1db-76b5-b57c-d25c45f22e14','grower',0);
CREATE TABLE pass (                  -- a bearer key, or the link of a bed
    id        TEXT   PRIMARY KEY,
    hash      TEXT   NOT NULL UNIQUE,
    kind      TEXT   NOT NULL,
    bed       TEXT   NOT NULL,       -- '' for a key of a whole account
    account   TEXT   NOT NULL,       -- who gave it
    label     TEXT   NOT NULL,
    given     BIGINT NOT NULL,
    withdrawn BIGINT NOT NULL        -- 0 while it is good
);
INSERT INTO pass VALUES('01a22871-f30b-71a7-a3e9-749256a4d651','131db538f1a37307afb085a8d37a5f35081986d3681f82605196453455b8bd74','link','01a22871-f2c5-7c15-b968-f1bbe20756bf','01a22871-f1da-7bb0-8cb9-0eaf850e50b1','label on the bed',1795974886155,0);
CREATE TABLE bed (
    id      TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    title   TEXT   NOT NULL,
    place   TEXT   NOT NULL,
    brief   TEXT   NOT NULL,
    edition TEXT   NOT NULL,
    version BIGINT NOT NULL,         -- of the brief, from 1
    changed BIGINT NOT NULL          -- the number of the last happening that touched bed or log
);
INSERT INTO bed VALUES('01a22871-f2c5-7c15-b968-f1bbe20756bf','01a22871-f1da-7bb0-8cb9-0eaf850e50b1','An invented bed','04473',replace('title: An invented bed\nsite:\n  place: "04473"\nbed:\n  length: 8 ft\n','\n',char(10)),'1-ab',2,11);
CREATE TABLE entry (
    id       TEXT   PRIMARY KEY,
    bed      TEXT   NOT NULL,
    seq      BIGINT NOT NULL,
    happened BIGINT NOT NULL,
    recorded BIGINT NOT NULL,
    who      TEXT   NOT NULL,
    version  BIGINT NOT NULL,        -- from 1, one more by each correction
    pairs    TEXT   NOT NULL         -- JSON; '[]' where it was struck out
);
INSERT INTO entry VALUES('01a22871-f303-7cd6-9134-85578d62215c','01a22871-f2c5-7c15-b968-f1bbe20756bf',7,1777795200000,1795974886147,'01a22871-f1da-7bb0-8cb9-0eaf850e50b1',2,'[{"Path":"ec","Text":"1.4 mS/cm"},{"Path":"ph","Text":"6.1"}]');
INSERT INTO entry VALUES('01a22871-f306-7730-944a-936afbdd8b38','01a22871-f2c5-7c15-b968-f1bbe20756bf',9,1777968000000,1795974886150,'01a22871-f1d9-7af0-9d62-d0975d3d1af7',1,'[{"Path":"depth","Text":"7 in"}]');
CREATE TABLE sheet (                 -- what an office shares
    id       TEXT   PRIMARY KEY,
    kind     TEXT   NOT NULL,
    name     TEXT   NOT NULL,
    text     TEXT   NOT NULL,
    version  BIGINT NOT NULL,
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
INSERT INTO sheet VALUES('01a22871-f307-76fe-afa6-3220cb0b45a6','water','Town water',replace('water:\n  ph: 7.4\n','\n',char(10)),1,'01a22871-f1d9-7af0-9d62-d0975d3d1af7',1795974886151);
CREATE TABLE person (
    account  TEXT PRIMARY KEY,
    name     TEXT NOT NULL,
    folded   TEXT NOT NULL UNIQUE,   -- the name as it is compared
    contact  TEXT NOT NULL,
    password TEXT NOT NULL           -- argon2id; '' where none is set
);
INSERT INTO person VALUES('01a22871-f1d6-7f10-aee3-34bac0706c95','Invented 0','invented 0','','$argon2id$v=19$m=19456,t=2,p=1$JgQVLR1EmnMEqiR7XiK1qQ$MMahguScfrwuZcS9AjlpHATijPlAgNHiBi/oUFn8gVI');
INSERT INTO person VALUES('01a22871-f1d9-7af0-9d62-d0975d3d1af7','Invented 1','invented 1','','');
INSERT INTO person VALUES('01a22871-f1da-7bb0-8cb9-0eaf850e50b1','Invented 2','invented 2','invented@example.invalid','');
INSERT INTO person VALUES('01a22871-f1db-76b5-b57c-d25c45f22e14','Invented 3','invented 3','','');
CREATE TABLE session (
    hash    TEXT   PRIMARY KEY,
    account TEXT   NOT NULL,
    made    BIGINT NOT NULL,
    seen    BIGINT NOT NULL
);
CREATE TABLE attempt (               -- how often something was tried
    what  TEXT   PRIMARY KEY,
    since BIGINT NOT NULL,
    count BIGINT NOT NULL
);
CREATE TABLE looked (                -- who saw personal data
    who     TEXT   NOT NULL,
    account TEXT   NOT NULL,         -- '' for the list of all
    at      BIGINT NOT NULL
);
INSERT INTO looked VALUES('holder','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886081);
CREATE TABLE attention (
    bed     TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    rank    BIGINT NOT NULL,         -- the larger the sooner
    seen    BIGINT NOT NULL,         -- bed.changed when it was reckoned
    again   BIGINT NOT NULL,         -- when it must be reckoned again though nothing was written
    reasons TEXT   NOT NULL          -- JSON
);
CREATE TABLE photo (
    id       TEXT   PRIMARY KEY,
    bed      TEXT   NOT NULL,
    entry    TEXT   NOT NULL,        -- '' for one of the bed itself
    kind     TEXT   NOT NULL,        -- its media type
    hash     TEXT   NOT NULL,
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
INSERT INTO photo VALUES('01a22871-f309-7c03-b8be-3f4e7b15b5a2','01a22871-f2c5-7c15-b968-f1bbe20756bf','01a22871-f303-7cd6-9134-85578d62215c','image/jpeg','e35daeef138c566adb349b62e37a4d486f047c356b65ed797ace8dfa3d4a30b4','01a22871-f1da-7bb0-8cb9-0eaf850e50b1',1795974886153);
CREATE TABLE image (
    hash  TEXT  PRIMARY KEY,         -- SHA-256 of the bytes
    bytes BYTEA NOT NULL
);
INSERT INTO image VALUES('e35daeef138c566adb349b62e37a4d486f047c356b65ed797ace8dfa3d4a30b4',X'ffd8ffdb008400080606070605080707070909080a0c140d0c0b0b0c1912130f141d1a1f1e1d1a1c1c20242e2720222c231c1c2837292c30313434341f27393d38323c2e333432010909090c0b0c180d0d1832211c213232323232323232323232323232323232323232323232323232323232323232323232323232323232323232323232323232ffc0000b080003000301011100ffc400d20000010501010101010100000000000000000102030405060708090a0b100002010303020403050504040000017d01020300041105122131410613516107227114328191a1082342b1c11552d1f02433627282090a161718191a25262728292a3435363738393a434445464748494a535455565758595a636465666768696a737475767778797a838485868788898a92939495969798999aa2a3a4a5a6a7a8a9aab2b3b4b5b6b7b8b9bac2c3c4c5c6c7c8c9cad2d3d4d5d6d7d8d9dae1e2e3e4e5e6e7e8e9eaf1f2f3f4f5f6f7f8f9faffda0008010100003f00f9febfffd9');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('goose_db_version',3);
CREATE INDEX happening_thing ON happening (thing, seq);
CREATE INDEX pass_account ON pass (account, id);
CREATE INDEX pass_bed ON pass (bed, id);
CREATE INDEX bed_owner ON bed (owner, id);
CREATE INDEX bed_changed ON bed (id, changed);
CREATE INDEX entry_bed ON entry (bed, happened, seq);
CREATE INDEX sheet_kind ON sheet (kind, name, id);
CREATE INDEX session_account ON session (account);
CREATE INDEX looked_at ON looked (at);
CREATE INDEX attention_rank ON attention (rank DESC, bed);
CREATE INDEX attention_owner ON attention (owner, rank DESC, bed);
CREATE INDEX attention_again ON attention (again);
CREATE INDEX photo_bed ON photo (bed, recorded, id);
CREATE INDEX photo_hash ON photo (hash);
COMMIT;
