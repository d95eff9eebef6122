// node applications_rival.mjs FOLDER: the same strands and tables in DuckDB on one thread: length and loss of every strand
// against every row of its fibre, counted by answer. No windows, uncertainty, lanes or reasons: less work than ours.
import { DuckDBInstance } from "@duckdb/node-api";

const folder = process.argv[2];
const instance = await DuckDBInstance.create(":memory:", { threads: "1" });
const db = await instance.connect();
await db.run(`create table strands as select * from read_csv('${folder}/strands.csv', header = true)`);
await db.run(`create table applications as select * from read_csv('${folder}/rows.csv', header = true)`);
const begun = performance.now();
const answer = await db.runAndReadAll(`select count(*), count(*) filter (length_m <= max_length_m and loss_db <= max_loss_db),
  sum(greatest(max_loss_db - loss_db, 0)), sum(greatest(max_length_m - length_m, 0)) from strands join applications using (fibre)`);
const seconds = (performance.now() - begun) / 1000;
console.log(`seconds=${seconds.toFixed(4)} answers=${answer.getRows()[0][0]}`);
