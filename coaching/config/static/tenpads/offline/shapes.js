// What is kept of each form: a shape turns it into the body of its kind of entry, or into null where nothing is answered.
(() => {
  "use strict";
  const { queue, shapes } = self.tenpads;
  const number = (text) => text === null || text === "" ? undefined : Number(text);
  const truth = (text) => ({ yes: true, no: false })[text];
  const pairs = (form, name, second) => form.getAll(name).map((text) => {
    const [site, code] = text.split("=");
    return { site, [second]: code };
  });

  function addSigns(found, body) {
    const flags = found.getAll("red_flags"), infected = found.get("infected");
    if (flags.length || infected === "no") body.red_flags = flags;
    if (infected === "yes" && !flags.length) body.sign_unnamed = true;
  }

  shapes["check-in"] = (form) => {
    const found = new FormData(form), body = { local_date: found.get("day") };
    for (const name of ["reserve", "dampness", "hardness", "sting", "pull_pain"]) body[name] = number(found.get(name));
    if (["reserve", "dampness", "hardness", "sting", "pull_pain"].some((name) => body[name] !== undefined)) body.rating_step = 2;
    body.agent_used = truth(found.get("agent_used"));
    const marks = pairs(found, "marks", "mark"), deep = new Set(found.getAll("deep"));
    if (marks.length) body.marks = marks;
    const damage = pairs(found, "damage", "kind").map((one) => deep.has(one.site) ? { ...one, depth: "deep" } : one);
    if (damage.length) body.damage = damage;
    addSigns(found, body);
    const looks = [...new Set([...found.keys()].filter((name) => name.startsWith("stage-")))].map((name) => {
      const key = name.slice("stage-".length);
      return { episode_id: key, stage: found.get(name), pain: number(found.get(`pain-${key}`)), opens_on_pull: truth(found.get(`opens-${key}`)) };
    }).filter((look) => look.stage);
    if (looks.length) body.looks = looks;
    const note = (found.get("note") || "").trim(), seconds = number(found.get("seconds_taken"));
    if (note) body.note = note;
    if (seconds !== undefined && seconds <= 3600) body.seconds = seconds;
    return Object.keys(body).some((name) => !["local_date", "seconds"].includes(name) && body[name] !== undefined) ? body : null;
  };

  shapes.session = (form, submitter) => {
    const found = new FormData(form), body = { local_date: form.dataset.day, ordinal: Number(form.dataset.ordinal || 1) };
    if (submitter && submitter.name === "happened") return { ...body, minutes: 0, hard_tries: 0 };
    const told = {
      minutes: number((found.get("minutes") || "").replace(",", ".")), rpe: number(found.get("rpe")), surface: found.get("surface") || undefined,
      hard_tries: number(found.get("hard_tries")), skin_limited: truth(found.get("skin_limited")), place_id: found.get("place_id") || undefined,
    };
    const began = /^(\d\d?):(\d\d)$/.exec((found.get("began") || "").trim());
    if (began) told.started_at = localInstant(form.dataset.day, Number(began[1]), Number(began[2]));
    return Object.values(told).some((value) => value !== undefined) ? { ...body, ...told } : null;
  };

  // A photo goes along as text: what is kept and sent is JSON.
  const asText = (file) => new Promise((done, failed) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result);
    reader.onerror = () => failed(reader.error);
    reader.readAsDataURL(file);
  });

  shapes.damage = async (form) => {
    const found = new FormData(form), photo = found.get("photo"), now = queue.now();
    const noticed = new Date(now.getFullYear(), now.getMonth(), now.getDate() - Number(found.get("noticed") || 0));
    const body = { local_date: queue.dayOf(noticed), seen_on: queue.today(), site: found.get("site"), kind: found.get("kind"), stage: found.get("stage") || undefined,
      bled: truth(found.get("bled")), red_below: truth(found.get("red_below")), length_mm: number(found.get("length_mm")),
      worries: found.getAll("worries"), cause: (found.get("cause") || "").trim() };
    if (!body.site || !body.kind) return null;
    addSigns(found, body);
    if (photo && photo.size) body.photo = await asText(photo);
    return body;
  };

  shapes.look = async (form) => {
    const found = new FormData(form), photo = found.get("photo");
    const body = { local_date: found.get("day"), episode_id: form.dataset.episode, stage: found.get("stage") || undefined,
      opens_on_pull: truth(found.get("opens")), pain: number(found.get("pain")), bled: truth(found.get("bled")) };
    addSigns(found, body);
    if (photo && photo.size) body.photo = await asText(photo);
    return body.stage || body.photo || body.sign_unnamed || body.red_flags?.length ? body : null;
  };

  // The step as the list had it, and what became of it; taking it back is an entry of its own.
  shapes.step = (form, submitter) => submitter ? { local_date: form.dataset.day, ...JSON.parse(form.dataset.step),
    status: submitter.name === "back" ? "none" : submitter.value } : null;

  // The tally has a script of its own (tally.js), which hands over the fields of its form.
  function tapOf(fields) {
    const [what, rest] = (fields.tap || "").split(/ (.*)/s);
    const back = what === "back";
    return { key: back ? rest : fields.idempotency_key, local_date: fields.day, ordinal: Number(fields.n) || 1, what: back ? "end" : what,
      at: fields.at || queue.now().toISOString(), surface: what === "try" ? rest : undefined, back };
  }
  self.tenpads.keepTap = (athlete, fields) => queue.put("tap", athlete, tapOf(fields));

  const localInstant = (day, hours, minutes) => {
    const [y, m, d] = day.split("-").map(Number);
    return new Date(y, m - 1, d, hours, minutes).toISOString();
  };
})();
