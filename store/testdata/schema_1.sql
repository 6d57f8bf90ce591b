-- A store of schema 1 as the program of its day kept it: ef4789d. All invented. Written by sqlite3 .dump; nobody changes it.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
INSERT INTO goose_db_version VALUES(1,0,1,'2026-11-29 17:53:25');
INSERT INTO goose_db_version VALUES(2,1,1,'2026-11-29 17:53:26');
CREATE TABLE store (
    one  BIGINT PRIMARY KEY CHECK (one = 1),
    mark TEXT   NOT NULL,
    seq  BIGINT NOT NULL
);
INSERT INTO store VALUES(1,'raftwright',11);
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
INSERT INTO happening VALUES(1,'01a22870-bb3a-75e7-8307-03e228b1c8a8','holder',1795974806330,1795974806330,'account.opened','01a22870-bb3a-75e7-8307-03e228b1c8a8','{"Role":"educator"}');
INSERT INTO happening VALUES(2,'01a22870-bb88-7b55-89db-bd50346cf3fb','holder',1795974806408,1795974806408,'account.opened','01a22870-bb88-7b55-89db-bd50346cf3fb','{"Role":"volunteer"}');
INSERT INTO happening VALUES(3,'01a22870-bbba-735d-9769-8added987e7f','holder',1795974806458,1795974806458,'account.opened','01a22870-bbba-735d-9769-8added987e7f','{"Role":"grower"}');
INSERT INTO happening VALUES(4,'01a22870-bbed-7974-9da4-689e01206003','holder',1795974806509,1795974806509,'account.opened','01a22870-bbed-7974-9da4-689e01206003','{"Role":"grower"}');
INSERT INTO happening VALUES(5,'01a22870-c3dd-79bd-bd17-0a461bf14ea3','01a22870-bbba-735d-9769-8added987e7f',1795974808541,1795974808541,'bed.made','01a22870-c3dd-79bd-bd17-0a461bf14ea3','{"Owner":"01a22870-bbba-735d-9769-8added987e7f","Version":1,"Edition":"1-ab","Text":"title: An invented bed\nsite:\n  place: \"04473\"\n"}');
INSERT INTO happening VALUES(6,'01a22870-c581-7927-a89c-6e358fe6d72b','01a22870-bbba-735d-9769-8added987e7f',1795974808961,1795974808961,'brief.written','01a22870-c3dd-79bd-bd17-0a461bf14ea3','{"Version":2,"Edition":"1-ab","Text":"title: An invented bed\nsite:\n  place: \"04473\"\nbed:\n  length: 8 ft\n"}');
INSERT INTO happening VALUES(7,'01a22870-c5a1-7e51-adb1-d0ca917d2854','01a22870-bbba-735d-9769-8added987e7f',1795974808993,1777795200000,'entry.kept','01a22870-c5a1-7e51-adb1-d0ca917d2854','{"Bed":"01a22870-c3dd-79bd-bd17-0a461bf14ea3","Version":1,"Pairs":[{"Path":"ec","Text":"1.6 mS/cm"},{"Path":"ph","Text":"6.1"}]}');
INSERT INTO happening VALUES(8,'01a22870-c5b9-7173-b0f2-61097bffc2cf','01a22870-bbba-735d-9769-8added987e7f',1795974809017,1777795200000,'entry.corrected','01a22870-c5a1-7e51-adb1-d0ca917d2854','{"Bed":"01a22870-c3dd-79bd-bd17-0a461bf14ea3","Version":2,"Pairs":[{"Path":"ec","Text":"1.4 mS/cm"},{"Path":"ph","Text":"6.1"}]}');
INSERT INTO happening VALUES(9,'01a22870-c5bb-7b20-8271-ec494a216f6f','01a22870-bb88-7b55-89db-bd50346cf3fb',1795974809019,1777968000000,'entry.kept','01a22870-c5bb-7b20-8271-ec494a216f6f','{"Bed":"01a22870-c3dd-79bd-bd17-0a461bf14ea3","Version":1,"Pairs":[{"Path":"depth","Text":"7 in"}]}');
INSERT INTO happening VALUES(10,'01a22870-c5be-7948-b88d-bf320ac1e23c','01a22870-bb88-7b55-89db-bd50346cf3fb',1795974809022,1795974809022,'sheet.written','01a22870-c5be-794b-8c92-5a8faa0f87c1','{"Kind":"water","Name":"Town water","Version":1,"Text":"water:\n  ph: 7.4\n"}');
INSERT INTO happening VALUES(11,'01a22870-c5f9-7941-901d-2877b403ad4e','01a22870-bbba-735d-9769-8added987e7f',1795974809081,1795974809081,'pass.given','01a22870-c5f9-7941-901d-2877b403ad4e','{"Hash":"2cfd1404a6b50da359d6a5c7098f14078c312596bde9a1d70caaf6e837a45291","Kind":"link","Bed":"01a22870-c3dd-79bd-bd17-0a461bf14ea3","Account":"01a22870-bbba-735d-9769-8added987e7f","Label":"label on the bed"}');
CREATE TABLE account (
    id     TEXT   PRIMARY KEY,
    role   TEXT   NOT NULL,
    closed BIGINT NOT NULL           -- 0 while it is open
);
INSERT INTO account VALUES('01a22870-bb3a-75e7-8307-03e228b1c8a8','educator',0);
INSERT INTO account VALUES('01a22870-bb88-7b55-89db-bd50346cf3fb','volunteer',0);
INSERT INTO account VALUES('01a22870-bbba-735d-9769-8added987e7f','grower',0);
INSERT INTO account VALUES('01a22870-bbed-7974-9da4-689e01206003','grower',0);
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
INSERT INTO pass VALUES('01a22870-c5f9-7941-901d-2877b403ad4e','2cfd1404a6b50da359d6a5c7098f14078c312596bde9a1d70caaf6e837a45291','link','01a22870-c3dd-79bd-bd17-0a461bf14ea3','01a22870-bbba-735d-9769-8added987e7f','label on the bed',1795974809081,0);
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
INSERT INTO bed VALUES('01a22870-c3dd-79bd-bd17-0a461bf14ea3','01a22870-bbba-735d-9769-8added987e7f','An invented bed','04473',replace('title: An invented bed\nsite:\n  place: "04473"\nbed:\n  length: 8 ft\n','\n',char(10)),'1-ab',2,9);
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
INSERT INTO entry VALUES('01a22870-c5a1-7e51-adb1-d0ca917d2854','01a22870-c3dd-79bd-bd17-0a461bf14ea3',7,1777795200000,1795974808993,'01a22870-bbba-735d-9769-8added987e7f',2,'[{"Path":"ec","Text":"1.4 mS/cm"},{"Path":"ph","Text":"6.1"}]');
INSERT INTO entry VALUES('01a22870-c5bb-7b20-8271-ec494a216f6f','01a22870-c3dd-79bd-bd17-0a461bf14ea3',9,1777968000000,1795974809019,'01a22870-bb88-7b55-89db-bd50346cf3fb',1,'[{"Path":"depth","Text":"7 in"}]');
CREATE TABLE sheet (                 -- what an office shares
    id       TEXT   PRIMARY KEY,
    kind     TEXT   NOT NULL,
    name     TEXT   NOT NULL,
    text     TEXT   NOT NULL,
    version  BIGINT NOT NULL,
    who      TEXT   NOT NULL,
    recorded BIGINT NOT NULL
);
INSERT INTO sheet VALUES('01a22870-c5be-794b-8c92-5a8faa0f87c1','water','Town water',replace('water:\n  ph: 7.4\n','\n',char(10)),1,'01a22870-bb88-7b55-89db-bd50346cf3fb',1795974809022);
CREATE TABLE person (
    account  TEXT PRIMARY KEY,
    name     TEXT NOT NULL,
    folded   TEXT NOT NULL UNIQUE,   -- the name as it is compared
    contact  TEXT NOT NULL,
    password TEXT NOT NULL           -- argon2id; '' where none is set
);
INSERT INTO person VALUES('01a22870-bb3a-75e7-8307-03e228b1c8a8','Invented 0','invented 0','','$argon2id$v=19$m=19456,t=2,p=1$cnedCKWkdg7f8cCfN77mxA$HS00G82eJcxf84iR1ZDsT5Cvvd1W2RHmMqHg2bnenSc');
INSERT INTO person VALUES('01a22870-bb88-7b55-89db-bd50346cf3fb','Invented 1','invented 1','','');
INSERT INTO person VALUES('01a22870-bbba-735d-9769-8added987e7f','Invented 2','invented 2','invented@example.invalid','');
INSERT INTO person VALUES('01a22870-bbed-7974-9da4-689e01206003','Invented 3','invented 3','','');
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
INSERT INTO looked VALUES('holder','01a22870-bbba-735d-9769-8added987e7f',1795974808485);
CREATE TABLE attention (
    bed     TEXT   PRIMARY KEY,
    owner   TEXT   NOT NULL,
    rank    BIGINT NOT NULL,         -- the larger the sooner
    seen    BIGINT NOT NULL,         -- bed.changed when it was reckoned
    again   BIGINT NOT NULL,         -- when it must be reckoned again though nothing was written
    reasons TEXT   NOT NULL          -- JSON
);
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('goose_db_version',2);
CREATE INDEX happening_thing ON happening (thing, seq);
CREATE INDEX pass_account ON pass (account, id);
CREATE INDEX pass_bed ON pass (bed, id);
CREATE INDEX bed_owner ON bed (owner, id);
CREATE INDEX entry_bed ON entry (bed, happened, seq);
CREATE INDEX sheet_kind ON sheet (kind, name, id);
CREATE INDEX session_account ON session (account);
CREATE INDEX looked_at ON looked (at);
CREATE INDEX attention_rank ON attention (rank DESC, bed);
CREATE INDEX attention_owner ON attention (owner, rank DESC, bed);
CREATE INDEX attention_again ON attention (again);
COMMIT;
