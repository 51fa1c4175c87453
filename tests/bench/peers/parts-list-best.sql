CREATE INDEX held ON holds(part);
CREATE TEMP TABLE weighs AS
  WITH RECURSIVE up(a,x,kind,weight) AS (
    SELECT h."in",s.part,s.kind,s.weight FROM single s CROSS JOIN holds h ON h.part=s.part
    UNION ALL SELECT h."in",u.x,u.kind,u.weight FROM up u CROSS JOIN holds h ON h.part=u.a)
  SELECT a,kind,weight FROM up;
CREATE TEMP TABLE rollup AS SELECT a,SUM(weight),MIN(weight),MAX(weight),COUNT(*) FROM weighs GROUP BY a;
CREATE TEMP TABLE unsealed AS SELECT a FROM weighs GROUP BY a HAVING SUM(kind='seal')=0;
