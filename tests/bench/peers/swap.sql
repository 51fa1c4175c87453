CREATE TABLE placed AS
  SELECT a, h, s, p, k, y - w AS x, y FROM (
    SELECT l.unit AS a, u.shaft AS h, l.slot AS s, l.part AS p, t.kind AS k, t.width AS w,
           u.start + SUM(t.width) OVER (PARTITION BY l.unit ORDER BY l.slot) AS y
    FROM slot l JOIN part t ON t.part=l.part JOIN unit u ON u.unit=l.unit);
CREATE TABLE leak AS
  SELECT a, s, f, g, e - b AS o FROM (
    SELECT l.a AS a, l.s AS s, i.feature AS f, h.feature AS g,
           MAX(l.x + i.start, h.start) AS b, MIN(l.x + i."end", h."end") AS e
    FROM placed l CROSS JOIN feature i ON i.part=l.p AND i.kind='seal' CROSS JOIN feature h ON h.part=l.h
    WHERE h.kind IN (SELECT kind FROM hazard))
  WHERE e > b;
CREATE TABLE misfit AS
  SELECT l.a AS a, l.s AS s, h.feature AS g, b.diameter - h.diameter AS c
  FROM placed l CROSS JOIN bore b ON b.part=l.p CROSS JOIN limits m ON m.kind=l.k
       CROSS JOIN feature h ON h.part=l.h AND h.kind='land'
  WHERE l.x < h."end" AND h.start < l.y
    AND (b.diameter - h.diameter < m.least OR b.diameter - h.diameter > m.greatest);
CREATE TABLE fault AS
  SELECT DISTINCT a, 'leak' AS what, s, g FROM leak UNION ALL SELECT DISTINCT a, 'misfit', s, g FROM misfit;
CREATE TABLE faults AS SELECT u.unit AS a, COUNT(f.what) AS n FROM unit u LEFT JOIN fault f ON f.a=u.unit GROUP BY u.unit;
CREATE TABLE fits AS SELECT unit FROM unit WHERE unit NOT IN (SELECT a FROM fault);
CREATE TABLE worst AS SELECT a, MAX(o) AS o FROM leak GROUP BY a;
