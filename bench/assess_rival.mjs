// The same arithmetic in SQL on the same files: loss, limit, uncertainty, probability, outcome, to delimited text.
import { DuckDBInstance } from '@duckdb/node-api';

const [folder, threads] = process.argv.slice(2);
const started = process.hrtime.bigint();
const db = await DuckDBInstance.create(':memory:', { threads });
const connection = await db.connect();
// No error function in SQL: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.2.17.
await connection.run(`
  copy (
    with judged as (
      select r.link, r.strand, r.wavelength_nm, r.direction, f.power_dbm - r.power_dbm as loss,
        sqrt(0.0289*0.0289 + 0.0041*0.0041 + 0.07*0.07 + 0.0141*0.0141 + 0.0289*0.0289 + 2*0.0577*0.0577
          + pow(0.012 * s.length_m / 1000, 2)) as u,
        0.4 * s.length_m / 1000 + 0.75 * s.connections + 0.3 * s.splices as lim
      from read_csv('${folder}/readings.csv', header = true, types = {'link': 'VARCHAR', 'strand': 'VARCHAR'}) r
      join read_csv('${folder}/schedule.csv', header = true, types = {'link': 'VARCHAR', 'strand': 'VARCHAR'}) s
        on s.link = r.link and s.strand = r.strand
      join read_csv('${folder}/references.csv', header = true) f
        on f.wavelength_nm = r.wavelength_nm and f.time <= r.time),
    scored as (select *, (lim - loss) / u as z, 1 / (1 + 0.2316419 * abs((lim - loss) / u)) as t from judged)
    select link, strand, wavelength_nm, direction, round(loss, 6) as loss_db, round(u, 6) as uncertainty_db,
      round(lim, 6) as limit_db, round(lim - loss, 6) as margin_db,
      round(case when z >= 0 then 1 - tail else tail end, 6) as conformance_probability,
      case when loss <= lim - 2 * u then 'pass' when loss <= lim then 'conditional pass'
        when loss <= lim + 2 * u then 'conditional fail' else 'fail' end as outcome, '' as reason
    from (select *, exp(-z * z / 2) / sqrt(2 * pi()) * t * (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t *
        (-1.821255978 + t * 1.330274429)))) as tail from scored)
  ) to '${folder}/rival.csv' (header)`);
console.log(Number(process.hrtime.bigint() - started) / 1e9);
